"""Files and feeds in: CSV, TOML, spreadsheets, supplier feeds. Knows no database."""
