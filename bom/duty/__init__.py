"""Does the coil pull in, and do the contacts survive. Pure; the rule tables are data with sources."""
