"""Do the contacts survive what they switch."""
