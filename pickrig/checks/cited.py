"""Where the numbers of a check come from."""

from pickrig.facts import Citation, Said, Value
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Cited


def cited(rules: Rules, row: Cited) -> Citation:
    """How much of a row is published, and where."""
    return Citation(row.status, rules.origin(row))


def source(rules: Rules, row: Cited, key: str = "source", **of: Value) -> Said:
    """Where a row of the rules comes from. key, of: the statement that says what it is the source of."""
    return Said(key, **of, cited=cited(rules, row))
