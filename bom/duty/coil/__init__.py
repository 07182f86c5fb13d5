"""Does the coil pull in, let go, and stand its volts and heat."""
