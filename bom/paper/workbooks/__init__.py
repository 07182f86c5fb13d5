"""Spreadsheets: live totals, part numbers as text, and nothing from outside that could run."""
