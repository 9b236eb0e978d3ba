"""The tables of rules/, loaded and checked; every value carries its source and status."""

from pickrig.rulebook.loading import load_rules, read_tables, shipped
from pickrig.rulebook.tables import Rules

__all__ = ["Rules", "load_rules", "read_tables", "shipped"]
