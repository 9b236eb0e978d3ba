"""What the log of one yard teaches: of its ground, its machines, its hours and its wear."""
