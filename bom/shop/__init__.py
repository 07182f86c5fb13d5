"""The shop: who we are and what we have, read once for a job; what the trades that do the jobs all stand on."""
