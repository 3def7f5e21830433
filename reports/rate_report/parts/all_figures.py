"""The stored rows behind everything: measure rows, days by band, estimates; data, not paper."""

from __future__ import annotations

from reports.rate_report.masked import masked_estimates, masked_measures
from reports.rate_report.material import Material
from reports.rate_report.part import Field, Part, Table
from reports.rate_report.tables import TRAINER_SPLITS, Cells
from surveillance.periods import parse_period

_TITLES = {
    "measures": "Every figure", "days": "Days at risk by band", "estimates": "Every estimate",
}  # fmt: skip


def with_data(m: Material, part: Part) -> Part:
    """The headline's part with the tables that hold every other stored figure."""
    tables = (
        [_measures(m), _estimates(m)]
        if m.to.is_outside
        else [_measures(m), _days(m), _estimates(m)]
    )
    return Part(
        part.number, part.name, part.title, part.says, (*part.tables, *tables), part.pictures
    )


def _fields(name: str) -> tuple[Field, ...]:
    from surveillance.tables import STORED_TABLES  # brings pandas, which few requests need

    kinds = {"whole": "whole", "number": "number"}
    return tuple(
        Field(one.name, kinds.get(one.kind, "text"), one.meaning)
        for one in STORED_TABLES[name]  # type: ignore[arg-type]
    )


def _table(name: str, rows: list[Cells]) -> Table:
    return Table(name, _TITLES[name], _fields(name), rows)


def calendar_years(m: Material) -> list[str]:
    """The calendar years that lie within the rolling year or period held and are stored."""
    ends = {parse_period(one).last_day for one in m.held}
    years = {str(day.year) for day in ends if (day.month, day.day) == (12, 31)}
    return [year for year in sorted(years) if m.has("measures", year)]


def _measures(m: Material) -> Table:
    rows = [row for period in m.held for row in m.measures(period).rows]
    if m.to.is_outside:
        undivided = [row for row in rows if not row["split"]]
        divided = [
            row for year in calendar_years(m) for row in m.measures(year).rows if row["split"]
        ]
        rows = [*undivided, *masked_measures(divided, undivided_of(m))]
    return _table("measures", rows)


def undivided_of(m: Material) -> list[Cells]:
    return [row for year in calendar_years(m) for row in m.measures(year).rows if not row["split"]]


def _days(m: Material) -> Table:
    rows = [row for period in m.held for row in m.stored("days", period).rows]
    if not m.to.sees_trainers:
        rows = [row for row in rows if row["split"] not in TRAINER_SPLITS]
    return _table("days", rows)


def _estimates(m: Material) -> Table:
    rows = [
        row for period in m.held if m.has("estimates", period)
        for row in m.stored("estimates", period).rows
        if m.to.sees_trainers or row["split"] not in TRAINER_SPLITS
    ]  # fmt: skip
    return _table("estimates", masked_estimates(rows) if m.to.is_outside else rows)
