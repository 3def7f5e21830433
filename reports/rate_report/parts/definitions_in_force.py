"""Part 3, definitions: every rule and target in force, with its source and its certainty."""

from __future__ import annotations

from reports.rate_report.definitions import definitions
from reports.rate_report.material import Material
from reports.rate_report.part import Part, Table, rows_of, text
from surveillance.rules import RULE_SETS

FIELDS = (
    text("name", "the rule's name", "Rule", 3),
    text("value", "its parameter; empty for a target", "", 2),
    text("unit", "unit of the parameter", "", 1),
    text("says", "the rule in words", "Says", 6),
    text("source", "where it comes from", "Source", 4),
    text("place", "where in the source", "", 2),
    text("certainty", "seen, memory, common practice, or our choice", "Certainty", 2),
)


def part(m: Material) -> Part:
    found = definitions(m.snapshot.rule_set)
    rules = RULE_SETS[m.snapshot.rule_set].rules
    rows = []
    for row in found.rows:
        rule = rules.get(row.name)
        value = _value(rule.value) if rule else ""
        rows.append((row.name, value, rule.unit if rule else "", row.says, row.source, row.place,
                     row.certainty))  # fmt: skip
    shown = [
        own | {"source": ", ".join(filter(None, (own["source"], own["place"])))}
        for own in rows_of(rows, FIELDS)
    ]
    says = (
        (
            f"Rule set: {found.title}. “seen”: read in the source. “memory”: to be checked "
            "before it is relied on. “our choice”: where the sources leave it open."
        ),
    )
    table = Table(
        "definitions", "Rules and targets in force", FIELDS, rows_of(rows, FIELDS), shown=shown
    )
    return Part(3, "definitions", "Definitions in force", says, (table,))


def _value(value: float | str | tuple[int, ...] | tuple[str, ...]) -> str:
    if isinstance(value, tuple):
        return ";".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)
