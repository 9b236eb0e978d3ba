"""The rule tables as text."""

import textwrap

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.reading import nearest
from pickrig.rulebook import Rules
from pickrig.rulebook.audit import Audit, Entry
from pickrig.rulebook.loading import cited_rows
from pickrig.rulebook.tables import Cited


def table_list(rules: Rules) -> str:
    """The names of the tables with their numbers of rows."""
    counts: dict[str, int] = dict.fromkeys(Rules.model_fields, 0)
    for path, _ in cited_rows(rules):
        counts[path[0]] += 1
    counts["sources"] = len(rules.sources)
    lines = [f"  {name:<18} {count} rows" for name, count in sorted(counts.items())]
    head = "The tables (`pickrig rules TABLE` prints one; a folder given with --rules is laid over them):"
    return "\n".join([head, *lines])


def as_table(rules: Rules, name: str) -> str:
    """One table, a block a row: what it says, its numbers, and where they come from. Raises InputError."""
    _known(name)
    if name == "sources":
        return "\n".join(f"{key}: {source.citation} ({source.read})" for key, source in rules.sources.items())
    blocks = []
    for path, row in cited_rows(rules):
        if path[0] == name:
            blocks.append("\n".join(_block(rules, " / ".join(path[1:]) or name, row)))
    return "\n\n".join(blocks)


def _known(name: str) -> None:
    if name not in Rules.model_fields:
        near = nearest(name, sorted(Rules.model_fields), "known.tables")
        raise InputError(Said("fault.no_table_here", name=name, near=near))


def _block(rules: Rules, title: str, row: Cited) -> list[str]:
    lines = [title]
    for field, value in row.model_dump(exclude=set(Cited.model_fields), exclude_none=True).items():
        lines += _field(field, value, "  ")
    lines += _field("source", rules.cite(row), "  ")
    lines += _field("apart from that", row.apart, "  ")
    return lines + (_field("note", row.note, "  ") if row.note and row.status != "published" else [])


def _field(name: str, value: object, indent: str) -> list[str]:
    """One field, a line each for the parts of a table in it."""
    if value in ("", [], {}):
        return []
    if isinstance(value, dict):
        return [f"{indent}{name}:", *(line for key, item in value.items() for line in _field(key, item, f"{indent}  "))]
    text = ", ".join(str(item) for item in value) if isinstance(value, list | tuple) else str(value)
    return textwrap.wrap(f"{name}: {text}", 100, initial_indent=indent, subsequent_indent=f"{indent}  ")


def as_audit(audit: Audit, table: str | None = None) -> str:
    """Every value with its status and source, a line each, and how many of each status there are. Raises InputError."""
    if table is not None:
        _known(table)
    lines = [_audited(audit, entry) for entry in audit.entries if table in (None, entry.table)]
    return "\n".join([*lines, "", audit_summary(audit)])


def _audited(audit: Audit, entry: Entry) -> str:
    source = f" ({entry.source}{', ' if entry.where else ''}{entry.where})" if entry.source else ""
    return f"{entry.table}: {entry.path or 'all'} = {entry.value}: {audit.standing(entry)}{source}"


def audit_summary(audit: Audit) -> str:
    """How much of what we say is published, common practice, from memory, our judgment; as a Markdown table."""
    total = sum(entry.numbers for entry in audit.entries)
    lines = ["| what the rules say of it | numbers | share | rows in words |", "|---|--:|--:|--:|"]
    for status, numbers, words in audit.counts():
        lines.append(f"| {status} | {numbers} | {numbers / total:.0%} | {words} |")
    return "\n".join(lines)
