"""The seller's jobs: what a kit costs, how many there can be, making them up, their papers."""
