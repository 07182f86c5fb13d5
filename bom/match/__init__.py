"""A requirement against a catalogue: verdicts with findings, ranked. Pure."""
