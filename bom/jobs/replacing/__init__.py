"""The tech's jobs: what may serve, does it fit, what is it, and what to check first."""
