"""The answer to one job: page, terminal, sheet, JSON."""
