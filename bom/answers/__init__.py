"""What each job found, as values: paper shows them, ``--json`` prints them, nothing between knows a string key."""
