"""A board solved as a circuit: what every load does and every contact carries, makes and breaks in each state. Pure."""
