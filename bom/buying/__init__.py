"""Offers with price breaks, the cheapest plan, reorder points. Pure."""
