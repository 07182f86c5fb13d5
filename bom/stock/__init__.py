"""The ledger: lots, moves, reservations, and what stock is worth. Pure."""
