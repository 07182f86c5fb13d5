"""What a board asks for: holes and nets, positions, drivers, supply, functions with their loads, repairs. Pure."""
