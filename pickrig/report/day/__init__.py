"""The board: page, terminal, JSON, CSV, calendar."""
