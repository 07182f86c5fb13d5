"""Results out: spreadsheets, terminal tables, JSON. Knows no database."""
