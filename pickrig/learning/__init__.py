"""What one yard's own jobs teach. Knows only numbers."""
