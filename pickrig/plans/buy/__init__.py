"""What to buy or rent for a year of work."""
