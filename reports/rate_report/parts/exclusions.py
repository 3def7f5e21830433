"""Part 6, exclusions: how many rows each rule left out, and which."""

from __future__ import annotations

from collections import Counter

from reports.rate_report.material import Material
from reports.rate_report.part import Field, Part, Table, rows_of, text, whole
from reports.rate_report.parts.line_list import lines_of
from reports.rate_report.parts.outside import NOT_FOR_OUTSIDE
from reports.rate_report.period_text import month_text, period_text
from surveillance.words import reason_text

Cells = dict[str, str]

STEPS = (
    text("period", "period", "Period", 3),
    text("kind", "peritonitis, exit_site or tunnel", "Kind", 2),
    text("reason", "reason code", "", 3),
    text("says", "the reason in words", "Why", 5),
    whole("rows", "rows left out for it", "Rows", 1),
)
LEFT_OUT = (
    text("period", "period", "Period", 3),
    text("patient", "pseudonym", "Patient", 2),
    text("episode", "pseudonym of the episode or infection", "Episode", 2),
    text("kind", "peritonitis, exit_site or tunnel", "Kind", 2),
    text("onset_month", "month of onset", "Onset", 2),
    text("reason", "reason code", "Why it does not count", 5),
)


def part(m: Material) -> Part:
    if m.to.is_outside:
        return Part(6, "exclusions", "Exclusions", NOT_FOR_OUTSIDE)
    rows = [row for row in lines_of(m) if row["counts"] != "yes"]
    steps = Counter((row["period"], row["kind"], row["reason"]) for row in rows)
    counted = [
        (period, kind, reason, reason_text(reason, kind), str(number))
        for (period, kind, reason), number in sorted(
            steps.items(), key=lambda one: _place(m, one[0])
        )
    ]
    listed = [{one.name: row[one.name] for one in LEFT_OUT} for row in rows]
    tables = (
        _table("exclusions_by_reason", "Rows left out, by reason", STEPS, rows_of(counted, STEPS)),
        _table("exclusions", "Rows left out", LEFT_OUT, listed),
    )
    says = () if rows else ("No row was left out.",)
    return Part(6, "exclusions", "Exclusions", says, tables)


def _place(m: Material, key: tuple[str, str, str]) -> tuple[int, str, str]:
    return m.held.index(key[0]), key[1], key[2]


def _table(name: str, title: str, fields: tuple[Field, ...], rows: list[Cells]) -> Table:
    return Table(name, title, fields, rows, shown=[_shown(row) for row in rows])


def _shown(row: Cells) -> Cells:
    said = {"period": period_text(row["period"]), "kind": row["kind"].replace("_", " ")}
    if "onset_month" in row:
        said |= {
            "onset_month": month_text(row["onset_month"]),
            "reason": reason_text(row["reason"], row["kind"]).removeprefix("not counted: "),
        }
    else:
        said["says"] = row["says"].removeprefix("not counted: ")
    return row | said
