"""The pictures of Watch: the weekly sum, and the lanes of organisms; both lead to their signals."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from reports.charts.chart import Chart
from reports.charts.cusum_strip import cusum_strip
from reports.charts.lanes import Lane, Onset, Window, lanes
from reports.rate_report.case_rows import is_counted, is_episode
from reports.rate_report.names import ORGANISM_GROUPS
from reports.rate_report.tables import Cells
from reports.watch.lines import CLUSTER_RULE, GROUPS, RATE_RULE, Row, line_name
from reports.watch.standing import WATER, WATER_GROUPS, Signal
from surveillance.marks import episode_mark
from surveillance.words import day_text

WEEKS = 156  # three years
LANE_MONTHS = 12
AddressOf = Callable[[Signal], str]

_SUM_NOTE = (
    "Every episode adds, every day at risk takes away what was expected of it. Above its line the "
    "sum is an alarm, and it starts again from nought."
)
_LANES_NOTE = (
    "Each mark is an episode at its onset, water organisms first. A bracket spans the weeks that "
    "stand out. An episode with several organisms stands on each of its lanes."
)


def sum_picture(
    rows: Sequence[Row], signals: Sequence[Signal], address_of: AddressOf
) -> Chart | None:
    """The weekly sum of peritonitis over three years; an alarm leads to its signal."""
    weeks = sorted((row for row in rows if row["rule"] == RATE_RULE and row["limit"] is not None),
                   key=lambda row: row["window_end"])[-WEEKS:]  # fmt: skip
    leads = {row["window_end"]: address_of(one) for one in signals if one.rule == RATE_RULE
             for row in one.rows}  # fmt: skip
    if not weeks:
        return None
    return cusum_strip(
        weeks, _sum_title(signals), _SUM_NOTE, lambda row: leads.get(row["window_end"], "")
    )


def _sum_title(signals: Sequence[Signal]) -> str:
    found = [one for one in signals if one.rule == RATE_RULE and one.rows]
    if not found:
        return "Peritonitis did not come faster than luck brings it."
    days = ", ".join(day_text(one.raised_on) for one in sorted(found, key=lambda s: s.raised_on))
    return f"Peritonitis came faster than luck brings it: first told on {days}."


def lanes_picture(
    cases: Sequence[Cells], signals: Sequence[Signal], last: date, address_of: AddressOf
) -> Chart:
    """The episodes of twelve months up to the last day known, on lanes by organism group."""
    first = _months_before(last)
    held = [
        case for case in cases
        if is_episode(case) and first.isoformat() <= case["onset_on"] <= last.isoformat()
    ]  # fmt: skip
    stand = [one for one in signals if one.rule == CLUSTER_RULE and one.rows
             and one.window_end >= first]  # fmt: skip
    found = [_lane(name, held, stand, address_of) for name in GROUPS if name != WATER]
    shown = [lane for lane in found if lane.onsets or lane.windows]
    return lanes(shown, (first, last + timedelta(days=1)), _lanes_title(stand), _LANES_NOTE)


def _months_before(last: date) -> date:
    month = last.year * 12 + last.month - LANE_MONTHS
    return date(month // 12, month % 12 + 1, 1)


def _lane(
    name: str, cases: Sequence[Cells], signals: Sequence[Signal], address_of: AddressOf
) -> Lane:
    own = [case for case in cases if name in case["organism_groups"].split(";")]
    own.sort(key=lambda case: case["onset_on"])
    bands = (name, WATER) if name in WATER_GROUPS else (name,)
    over = [one for one in signals if one.band in bands]
    windows = tuple(Window(one.window_start, one.window_end, one.sentence) for one in over if own)
    address = address_of(over[0]) if over and own else ""
    return Lane(ORGANISM_GROUPS[name], tuple(map(_onset, own)), windows, address)


def _onset(case: Cells) -> Onset:
    mark = episode_mark(case["kind"], case["confirmed"], case["sequence"], is_counted(case))
    day = date.fromisoformat(case["onset_on"])
    return Onset(day, mark, day_text(day))


def _lanes_title(signals: Sequence[Signal]) -> str:
    if not signals:
        return "No group of organisms came closer together than luck brings it."
    names = sorted({line_name(one.rule, one.band) for one in signals})
    return f"Closer together than luck brings them: {' and '.join(names)}."
