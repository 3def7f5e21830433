"""Part 9, restatements: figures signed before, as first published and as they stand now."""

from __future__ import annotations

from collections.abc import Iterator

from reports.rate_report.material import Material
from reports.rate_report.part import Part, Table, number, text, whole
from reports.rate_report.period_text import period_text
from reports.rate_report.vintages import Vintages, causes, published_before
from surveillance.snapshots import causes_text
from surveillance.snapshots.restatement import causes_of

Cells = dict[str, str]
FIELDS = (
    text("period", "period whose figures were signed before", "Period", 2),
    text("measure", "peritonitis_rate", "", 2),
    whole("first_version", "version first signed", "First version", 1),
    whole("first_numerator", "counted then", "Counted then", 1),
    whole("numerator", "counted now", "Counted now", 1),
    whole("first_denominator", "days at risk then", "Days then", 1),
    whole("denominator", "days at risk now", "Days now", 1),
    number("first_value", "rate then", "Rate then", 1),
    number("value", "rate now", "Rate now", 1),
    number("difference", "rate now minus rate then", "Difference", 1),
    text("cause", "what moved it, each with its number, from both lists", "What moved it", 4),
    text("stated_cause", "the cause that the clinic stated", "Cause as stated", 3),
    text(
        "decided_by", "role of who signed the restatement; empty = none signed yet", "Decided by", 2
    ),
)


def part(m: Material) -> Part:
    rows = [row for vintages in published_before(m) for row in _row(m, vintages)]
    moved = [row for row in rows if row["cause"] != "no difference"]
    says = ("No figure of this report was signed before.",)
    if rows:
        said = "none differs now" if not moved else f"{len(moved)} differ now"
        says = (f"{len(rows)} periods were signed before; {said}.",)
    shown = [_shown(row) for row in rows]
    table = Table("restatements", "First published and now", FIELDS, rows, shown=shown)
    return Part(9, "restatements", "Restatements", says, (table,))


def _row(m: Material, both: Vintages) -> Iterator[Cells]:
    then, now = both.then, both.now
    if then is None or now is None:
        return
    moved = ""
    if then["value"] and now["value"]:
        moved = repr(float(now["value"]) - float(then["value"]))
    yield {
        "period": both.period, "measure": now["measure"],
        "first_version": str(both.first.version), "first_numerator": then["numerator"],
        "numerator": now["numerator"], "first_denominator": then["denominator"],
        "denominator": now["denominator"], "first_value": then["value"], "value": now["value"],
        "difference": moved, "cause": "; ".join(causes(both)) or "no difference",
        "stated_cause": causes_text(causes_of(m.snapshot)) if both.restates else "",
        "decided_by": "a director" if m.snapshot.signed_at and both.restates else "",
    }  # fmt: skip


def _shown(row: Cells) -> Cells:
    digits = {
        name: f"{float(row[name]):+.3f}" if name == "difference" else f"{float(row[name]):.3f}"
        for name in ("first_value", "value", "difference") if row[name]
    }  # fmt: skip
    return row | digits | {"period": period_text(row["period"])}
