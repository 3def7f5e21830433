"""The stored case rows behind a signal: those of its window, and those of the year before it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from reports.rate_report.case_rows import is_counted, is_episode
from reports.rate_report.names import KINDS, ORGANISM_GROUPS
from reports.rate_report.tables import Cells, stored_table
from reports.watch.standing import WATER, WATER_GROUPS, Signal
from surveillance.marks import episode_mark
from surveillance.models import Snapshot
from surveillance.words import day_text, reason_text, sequence_text

LOOK_BACK = timedelta(days=365)


@dataclass(frozen=True)
class CaseLine:
    """One row of the line list."""

    case: Cells
    mark: str
    onset_on: date
    address: str = ""

    @property
    def when(self) -> str:
        return day_text(self.onset_on)

    @property
    def key(self) -> tuple[str, str]:
        return self.case["patient"], self.case["episode"]

    @property
    def organisms(self) -> str:
        groups = self.case["organism_groups"].split(";") if self.case["organism_groups"] else []
        told = [ORGANISM_GROUPS.get(one, one) for one in groups]
        return ", ".join(told) or ORGANISM_GROUPS.get(self.case["organism_group"], "")

    @property
    def so(self) -> str:
        words = reason_text(self.case["reason"], self.case["kind"])
        if self.case["kind"] != "peritonitis":
            words = f"{KINDS[self.case['kind']]} infection, {words}"
        return (
            f"{sequence_text(self.case['sequence'])}; {words}" if self.case["sequence"] else words
        )


def window_cases(snapshot: Snapshot, signal: Signal) -> list[CaseLine]:
    """The episodes that made the signal: of its group, or counted peritonitis."""
    found = _all(snapshot, signal.window_start, signal.window_end)
    if signal.band:
        return [line for line in found if is_episode(line.case) and _is_of(line.case, signal)]
    return [line for line in found if line.case["kind"] == "peritonitis" and is_counted(line.case)]


def earlier_cases(snapshot: Snapshot, signal: Signal) -> list[CaseLine]:
    """Twelve months before the window: every kind of infection with the group, counted or not."""
    last = signal.window_start - timedelta(days=1)
    found = _all(snapshot, signal.window_start - LOOK_BACK, last)
    if signal.band:
        return [line for line in found if _is_of(line.case, signal)]
    return [line for line in found if line.case["kind"] == "peritonitis"]


def _is_of(case: Cells, signal: Signal) -> bool:
    groups = set(case["organism_groups"].split(";"))
    return bool(groups & set(WATER_GROUPS if signal.band == WATER else (signal.band,)))


def _all(snapshot: Snapshot, first: date, last: date) -> list[CaseLine]:
    rows = stored_table(snapshot, "cases").rows
    start, end = first.isoformat(), last.isoformat()
    return [_line(case) for case in rows if start <= case["onset_on"] <= end]


def _line(case: Cells) -> CaseLine:
    counts = is_counted(case)
    mark = episode_mark(case["kind"], case["confirmed"], case["sequence"], counts)
    return CaseLine(case, mark, date.fromisoformat(case["onset_on"]))
