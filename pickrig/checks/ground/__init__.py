"""The ground: how strong it is, and what a machine asks of it."""
