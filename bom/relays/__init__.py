"""What a relay is: pins that go in holes, wiring that joins them, coils, contacts and published ratings. Pure."""
