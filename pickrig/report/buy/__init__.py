"""The owner's year: page, terminal, JSON."""
