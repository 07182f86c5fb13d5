"""The shop's jobs towards its suppliers: lists, quotes, the plan, and what is due."""
