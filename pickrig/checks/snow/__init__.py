"""Snow: a machine on a lot, what grips, what is said of it."""
