"""The shop's jobs at its drawers: goods in and out, orders on the way, what is there and where it came from."""
