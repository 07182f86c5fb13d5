"""Does it go in, does it have room, and does it connect alike. Pure."""
