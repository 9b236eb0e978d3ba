"""Plans compose inputs, checks and scoring for the people who ask."""
