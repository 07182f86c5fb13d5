"""The database: tables, units of work and queries. The only room that knows SQL."""
