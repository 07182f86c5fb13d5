"""Results out: terminal tables, spreadsheets, pages, pictures, CSV and JSON. Knows no database."""
