"""Part 7, completeness and ascertainment: what was recorded, and how episodes came to be known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from reports.rate_report.masked import masked_estimates
from reports.rate_report.material import Material
from reports.rate_report.number_text import percent_text
from reports.rate_report.part import Part, Table, number, rows_of, text, whole
from reports.rate_report.parts.line_list import lines_of
from reports.rate_report.period_text import period_text

Cells = dict[str, str]

FIELDS = (
    text("period", "period", "Period", 3),
    text("field", "what was asked", "Field", 3),
    whole("rows", "rows that were asked", "Asked", 1),
    whole("present", "rows with an answer", "Present", 1),
    whole("not_known", "rows where it cannot be told", "Not known", 1),
    whole("missing", "rows without any entry", "Missing", 1),
)
FOUND = (
    text("period", "period", "Period", 3),
    text("source", "who found the episode, as recorded", "Found by", 3),
    whole("episodes", "peritonitis rows", "Episodes", 1),
)
BOUNDS = (
    text("period", "period", "Period", 2),
    text("name", "which estimate", "What", 4),
    text("split", "what it is divided by; empty = undivided", "", 1),
    text("band", "which part of it; empty = undivided", "Days or part", 1),
    text("method", "how it was reached", "", 2),
    number("value", "the estimate; empty where there is none", "Value", 1),
    number("lower", "lower limit, 95 %", "", 1),
    number("upper", "upper limit, 95 %", "", 1),
    text("note", "what has to be known beside it", "Note", 5),
)
_CRITERIA = {
    "clinical_criterion": "cloudy effluent or pain",
    "cell_criterion": "cell count, dwell 2 h or more",
    "culture_criterion": "culture result",
}  # fmt: skip
_BESIDE = ("unknown", "lowest", "highest", "entered_share", "with_unknown_dwell")


def part(m: Material) -> Part:
    tables = [] if m.to.is_outside else [_fields(m), _found(m)]
    return Part(
        7, "completeness", "Completeness and ascertainment", _says(m),
        (*tables, _bounds(m)),
    )  # fmt: skip


def _says(m: Material) -> tuple[str, ...]:
    said = [
        (
            "“Not known” is an answer, “missing” is none; neither is taken for no or for zero. "
            "The bounds say how far the missing could move a figure."
        ),
        (
            "A cross-check against laboratory, pharmacy and admission lists is not recorded here: "
            "matched and unmatched episodes cannot be stated."
        ),
    ]
    if not m.to.is_outside and not m.entries:
        said.append("This version was computed before sources and days of entry were kept.")
    return tuple(said)


def _fields(m: Material) -> Table:
    rows = [row for period in m.held for row in _of_period(m, period)]
    found = rows_of(rows, FIELDS)
    shown = [row | {"period": period_text(row["period"])} for row in found]
    return Table("completeness", "Recorded, not known, missing", FIELDS, found, shown=shown)


def _of_period(m: Material, period: str) -> Iterable[tuple[str, ...]]:
    own = [row for row in lines_of(m) if row["period"] == period and row["kind"] == "peritonitis"]
    for name, words in _CRITERIA.items():
        told = Counter(row[name] for row in own)
        yield _line(period, words, len(own), told["not_assessable"], told[""])
    episodes = [row for row in own if row["confirmed"] == "confirmed"]
    grown = Counter(row["culture_group"] for row in episodes)
    yield _line(period, "culture of confirmed episodes", len(episodes), grown["culture_pending"],
                grown["not_cultured"])  # fmt: skip
    judged = [row for row in episodes if row["sequence"] != "same_episode"]
    unclear = sum(row["sequence"] == "undetermined" for row in judged)
    yield _line(period, "class beside earlier episodes", len(judged), unclear, 0)
    for name, words in (("source", "who found it"), ("entered_after_days", "day of entry")):
        said = Counter(row[name] for row in own)
        yield _line(period, words, len(own), 0, said[""])


def _line(period: str, words: str, asked: int, not_known: int, missing: int) -> tuple[str, ...]:
    present = asked - not_known - missing
    return period, words, str(asked), str(present), str(not_known), str(missing)


def _found(m: Material) -> Table:
    told = Counter(
        (row["period"], row["source"] or "not recorded")
        for row in lines_of(m) if row["kind"] == "peritonitis"
    )  # fmt: skip
    rows = rows_of([(*key, str(number)) for key, number in sorted(told.items())], FOUND)
    shown = [row | {"period": period_text(row["period"])} for row in rows]
    return Table("ascertainment", "How episodes came to be known", FOUND, rows, shown=shown)


def _bounds(m: Material) -> Table:
    rows = [
        {one.name: row[one.name] for one in BOUNDS}
        for period in m.held if m.has("estimates", period)
        for row in m.stored("estimates", period).rows
        if any(word in row["name"] or word in row["method"] for word in _BESIDE)
    ]  # fmt: skip
    if m.to.is_outside:
        rows = masked_estimates(rows)
    shown = [_shown(row) for row in rows]
    return Table("bounds", "Bounds for what is missing, and how soon episodes were entered",
                 BOUNDS, rows, shown=shown)  # fmt: skip


def _shown(row: Cells) -> Cells:
    name = row["name"].replace("_", " ")
    value = row["value"]
    if value and row["name"].endswith("share"):
        value = percent_text(float(value))
    elif value:
        value = f"{float(value):.0f}" if row["name"].endswith("count") else f"{float(value):.2f}"
    return row | {"period": period_text(row["period"]), "name": name, "value": value}
