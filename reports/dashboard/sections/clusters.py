"""Cluster watch: the year's episodes on lanes by organism, and the windows that stand out."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from reports.charts.chart import Chart
from reports.charts.lanes import Lane, Onset, Window, lanes
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.case_rows import is_episode
from reports.rate_report.names import ORGANISM_GROUPS
from reports.rate_report.number_text import counted_text
from reports.rate_report.period_text import iso_day_text, month_text
from reports.rate_report.tables import Cells
from surveillance.marks import episode_mark
from surveillance.periods import parse_period
from surveillance.words import day_text

Row = dict[str, Any]
RULE, WATER = "organism_cluster", "water"
_WATER_GROUPS = ("pseudomonas", "acinetobacter", "stenotrophomonas")
_ORDER = (*_WATER_GROUPS, *(one for one in ORGANISM_GROUPS if one not in _WATER_GROUPS))


def section(m: Material) -> PageSection:
    return PageSection(
        "clusters", "Clusters",
        "Each mark an episode, at its onset. A bracket: more than chance gives within 8 weeks.",
        (_chart(m),), tuple(_sentences(m)),
    )  # fmt: skip


def _year(m: Material) -> tuple[date, date]:
    period = parse_period(m.year)
    return period.start, period.last_day + timedelta(days=1)


def _chart(m: Material) -> Chart:
    cases = [case for case in m.cases(m.year) if is_episode(case)]
    held = [_lane(m, one, cases) for one in _ORDER]
    shown = [lane for lane in held if lane.onsets]
    note = "Water organisms first. An episode with several organisms stands on each of its lanes."
    return lanes(shown, _year(m), _title(m), note)


def _groups(case: Cells) -> list[str]:
    named = case["organism_groups"].split(";") if case["organism_groups"] else []
    return named or [case["culture_group"]]


def _lane(m: Material, name: str, cases: list[Cells]) -> Lane:
    own = [case for case in cases if name in _groups(case)]
    row = m.figures.row(m.year, "organism_rate", "organism_group", name)
    row = row or m.figures.row(m.year, "peritonitis_rate", "organism_group", name)
    onsets = tuple(_onset(m, case) for case in sorted(own, key=lambda case: case["onset_on"]))
    windows = _joined([_window(one) for one in m.alarms(RULE) if _is_of(one, name)])
    return Lane(ORGANISM_GROUPS.get(name, name), onsets, windows, m.lead(row) if row else "")


def _joined(windows: list[Window]) -> tuple[Window, ...]:
    """Windows that overlap are one stretch: an alarm comes again with each further patient."""
    found: list[Window] = []
    for one in sorted(windows, key=lambda window: window.first):
        if found and one.first <= found[-1].last:
            last = found.pop()
            one = Window(last.first, max(last.last, one.last), f"{last.says} {one.says}")
        found.append(one)
    return tuple(found)


def _is_of(alarm: Row, name: str) -> bool:
    return alarm["band"] == name or (alarm["band"] == WATER and name in _WATER_GROUPS)


def _window(alarm: Row) -> Window:
    days = (date.fromisoformat(alarm[name]) for name in ("window_start", "window_end"))
    return Window(*days, alarm["sentence"])


def _onset(m: Material, case: Cells) -> Onset:
    counts = case["counts"] == "yes"
    mark = episode_mark(case["kind"], case["confirmed"], case["sequence"], counts)
    day = date.fromisoformat(case["onset_on"])
    if m.sight.sees_days:
        return Onset(day, mark, day_text(day))
    return Onset(day.replace(day=15), mark, month_text(case["onset_on"][:7]))


def _title(m: Material) -> str:
    found = m.alarms(RULE)
    if not m.has_signals:
        return "Signals are not stored with this version."
    if not found:
        return "No group of organisms came closer together than chance allows."
    bands = {one["band"] for one in found}
    if WATER in bands:  # each of them is among the water organisms
        bands -= set(_WATER_GROUPS)
    stands = counted_text(len(bands), "cluster stands", "clusters stand")
    return f"{stands} out of chance: {' and '.join(sorted(map(_name, bands)))}."


def _name(band: str) -> str:
    return "water organisms" if band == WATER else ORGANISM_GROUPS.get(band, band)


def _sentences(m: Material) -> list[str]:
    """The last alarm of each group: it holds the patients of the ones before."""
    last = {one["band"]: one for one in m.alarms(RULE)}
    return [f"{_span(one)}: {one['sentence']}" for one in last.values()]


def _span(alarm: Row) -> str:
    return " to ".join(iso_day_text(alarm[name]) for name in ("window_start", "window_end"))
