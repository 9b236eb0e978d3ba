"""Fields with measured moisture and soil temperature, and what our balance and our frost make of their weather."""
