"""Suppliers' price lists: read as they come, understood cell by cell, made into offers; and fetched within limits."""
