"""Quantities with units, money, part-number spelling and findings: the words every other room speaks."""
