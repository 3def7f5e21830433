"""Counted episodes by exclusive organism class, this year beside the year before."""

from __future__ import annotations

from collections.abc import Sequence

from reports.charts.chart import Chart, Lead, Row, nowhere
from reports.charts.organism_layout import NARROW_SHEET, WIDE_SHEET, Bar, drawn
from reports.rate_report.findings import organisms_headline
from reports.rate_report.names import ORGANISM_GROUPS
from reports.rate_report.number_text import whole_text
from reports.rate_report.period_text import quarter_of, year_text

_NOTE = (
    "Culture-negative: a sample was sent and grew nothing. Not cultured: none was sent. "
    "Broad bar this year, thin line the year before. Gram-positive + whole, Gram-negative − slit."
)


def organisms(
    now: Sequence[Row],
    before: Sequence[Row],
    order: Sequence[str],
    years: tuple[str, str],
    title: str | None = None,
    lead: Lead = nowhere,
) -> Chart:
    """`order`: classes in the clinic's one order; `years`: the two rolling years, this one first.

    No row of a year at all: it is not stored, and its line stays away.
    """
    bars, heads = _bars(now, before, order, lead), _heads(years)
    summary, short = _summary(bars, heads), (_short(years[0]), _short(years[1]))
    return Chart(
        name="organisms",
        title=title or organisms_headline(_counts(bars, "now"), _counts(bars, "before")),
        summary=summary,
        note=f"{_totals(bars, heads)} {_NOTE}",
        columns=("Organism class", *heads),
        rows=tuple((bar.name, bar.now, bar.before) for bar in bars),
        shown_rows=tuple((bar.name, _shown(bar.now), _shown(bar.before)) for bar in bars),
        svg=drawn(bars, short, WIDE_SHEET, summary),
        svg_narrow=drawn(bars, short, NARROW_SHEET, summary),
        figure=_figure(bars, heads),
        leads=tuple(bar.address for bar in bars),
    )


def _bars(now: Sequence[Row], before: Sequence[Row], order: Sequence[str], lead: Lead) -> list[Bar]:
    leads = {row["band"]: lead(row) for row in now if row["numerator"]}
    here = {row["band"]: int(row["numerator"]) for row in now}
    there = {row["band"]: int(row["numerator"]) for row in before}
    unlisted = sorted((here.keys() | there.keys()) - set(order))
    return [
        Bar(
            group, ORGANISM_GROUPS.get(group, group),
            here.get(group, 0), there.get(group, 0) if there else None, leads.get(group, ""),
        )
        for group in (*order, *unlisted)
    ]  # fmt: skip


def _heads(years: tuple[str, str]) -> tuple[str, str]:
    now, before = (year_text(quarter_of(year)) for year in years)
    return (now[0].upper() + now[1:], before[0].upper() + before[1:])


def _short(year: str) -> str:
    """A rolling year over its column: 2025, or to Q3 2025."""
    quarter = quarter_of(year)
    return quarter[:4] if quarter.endswith("Q4") else f"to {quarter[-2:]} {quarter[:4]}"


def _counts(bars: Sequence[Bar], which: str) -> dict[str, int]:
    return {bar.group: getattr(bar, which) for bar in bars if getattr(bar, which)}


def _shown(number: int | None) -> str:
    return "not stored" if number is None else whole_text(number)


def _totals(bars: Sequence[Bar], heads: tuple[str, str]) -> str:
    total = sum(bar.now for bar in bars)
    before = [bar.before for bar in bars if bar.before is not None]
    told = f"{whole_text(total)} counted episodes in {_inside(heads[0])}"
    return f"{told}, {whole_text(sum(before))} in {_inside(heads[1])}." if before else f"{told}."


def _inside(head: str) -> str:
    return head[0].lower() + head[1:]


def _summary(bars: Sequence[Bar], heads: tuple[str, str]) -> str:
    if not bars:
        return "No episode was counted in either year."
    spoken = "; ".join(
        f"{bar.name} {bar.now}" + ("" if bar.before is None else f" ({bar.before} before)")
        for bar in bars
    )
    return f"{_totals(bars, heads)} {spoken}."


def _figure(bars: Sequence[Bar], heads: tuple[str, str]) -> dict[str, object]:
    names = [bar.name for bar in bars]
    data = [
        {"type": "bar", "orientation": "h", "name": head, "y": names, "x": numbers}
        for head, numbers in zip(
            heads, ([bar.now for bar in bars], [bar.before for bar in bars]), strict=True
        )
    ]
    axis = {"title": {"text": "counted episodes"}}
    return {"data": data, "layout": {"xaxis": axis, "yaxis": {"autorange": "reversed"}}}
