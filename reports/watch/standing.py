"""Alarm rows that belong together as one signal, joined with the work that people did on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from clinic.signal_work import CLOSED, NEW, STATES, Worked

Row = dict[str, Any]
Line = tuple[str, str, str, str]  # rule, measure, split, band

JOINED = timedelta(days=28)  # a shorter lull does not end a signal; our choice
WATER = "water"
WATER_GROUPS = ("pseudomonas", "acinetobacter", "stenotrophomonas")
UNDIVIDED = "all"  # in addresses, where a line has no band


@dataclass(frozen=True)
class Signal:
    """One line that stood out over some days; `rows` is empty once the figures no longer say so."""

    line: Line
    raised_on: date
    window_start: date
    window_end: date
    sentence: str
    rows: tuple[Row, ...] = ()
    worked: Worked | None = None
    also: tuple[str, ...] = field(default=())  # narrower lines that stand out over the same days

    @property
    def rule(self) -> str:
        return self.line[0]

    @property
    def band(self) -> str:
        return self.line[3]

    @property
    def state(self) -> str:
        return self.worked.state if self.worked else NEW

    @property
    def state_text(self) -> str:
        return self.worked.state_text if self.worked else STATES[NEW]

    @property
    def is_open(self) -> bool:
        return self.state != CLOSED

    @property
    def key(self) -> tuple[str, str, str]:
        """What names it in an address."""
        return self.rule, self.band or UNDIVIDED, self.raised_on.isoformat()

    @property
    def stored(self) -> dict[str, Any]:
        """What is kept of it when somebody takes it up."""
        rule, measure, split, band = self.line
        return {
            "rule": rule, "measure": measure, "split": split, "band": band,
            "raised_on": self.raised_on, "window_start": self.window_start,
            "window_end": self.window_end, "sentence": self.sentence,
        }  # fmt: skip

    def overlaps(self, start: date, end: date) -> bool:
        return self.window_start <= end and start <= self.window_end


def _line(row: Row) -> Line:
    return row["rule"], row["measure"], row["split"], row["band"]


def _days(row: Row) -> tuple[date, date]:
    return date.fromisoformat(row["window_start"]), date.fromisoformat(row["window_end"])


def _chains(rows: Sequence[Row]) -> list[list[Row]]:
    """Rows of one line, cut where the windows lie apart."""
    chains: list[list[Row]] = []
    reached = date.min
    for row in sorted(rows, key=lambda row: (row["window_end"], row["window_start"])):
        start, end = _days(row)
        if not chains or start > reached + JOINED:
            chains.append([])
        chains[-1].append(row)
        reached = end
    return chains


def _signal(rows: Sequence[Row], worked: Worked | None) -> Signal:
    return Signal(
        line=_line(rows[0]),
        raised_on=worked.work.raised_on if worked else _days(rows[0])[1],
        window_start=min(_days(row)[0] for row in rows),
        window_end=_days(rows[-1])[1],
        sentence=rows[-1]["sentence"],
        rows=tuple(rows),
        worked=worked,
    )


def _gone(worked: Worked) -> Signal:
    """Taken up once; the figures of today no longer show it."""
    work = worked.work
    line = (work.rule, work.measure, work.split, work.band)
    days = (work.raised_on, work.window_start, work.window_end)
    return Signal(line, *days, work.sentence, worked=worked)


def signals_of(alarms: Iterable[Row], works: Sequence[Worked]) -> list[Signal]:
    """Every signal with its work, the newest first. An alarm that comes after the work on its
    line was closed is a signal of its own: nothing new hides behind an old conclusion."""
    by_line: dict[Line, list[Row]] = {}
    for row in alarms:
        by_line.setdefault(_line(row), []).append(row)
    found: list[Signal] = []
    left = list(works)
    for rows in by_line.values():
        for chain in _chains(rows):
            found += _with_work(chain, left)
    found += [_gone(worked) for worked in left]
    return sorted(_folded(found), key=lambda one: (one.window_end, one.line), reverse=True)


def _with_work(chain: list[Row], left: list[Worked]) -> list[Signal]:
    """The signals of one chain; the works that belong to it are taken out of `left`."""
    start, end = min(_days(row)[0] for row in chain), _days(chain[-1])[1]
    own = [worked for worked in left if _is_of(worked, _line(chain[0]), start, end)]
    found, rest = [], list(chain)
    for worked in own:
        left.remove(worked)
        until = worked.closed_on or date.max
        rows = [row for row in rest if _days(row)[1] <= until]
        rest = [row for row in rest if _days(row)[1] > until]
        found.append(_signal(rows, worked) if rows else _gone(worked))
    return [*found, _signal(rest, None)] if rest else found


def _is_of(worked: Worked, line: Line, start: date, end: date) -> bool:
    work = worked.work
    is_line = (work.rule, work.measure, work.split, work.band) == line
    return is_line and work.window_start <= end and start <= work.window_end


def _folded(found: Sequence[Signal]) -> list[Signal]:
    """One water organism over the days of a water signal is said there, unless worked on alone."""
    kept: list[Signal] = []
    narrow = [one for one in found if one.band in WATER_GROUPS and one.worked is None]
    said = {id(one): False for one in narrow}
    for one in found:
        if one.band == WATER:
            inside = [each for each in narrow if each.overlaps(one.window_start, one.window_end)]
            said |= {id(each): True for each in inside}
            one = _with_also(one, tuple(each.sentence for each in inside))  # noqa: PLW2901
        kept.append(one)
    return [one for one in kept if not said.get(id(one), False)]


def _with_also(one: Signal, also: tuple[str, ...]) -> Signal:
    return Signal(
        one.line, one.raised_on, one.window_start, one.window_end, one.sentence, one.rows,
        one.worked, also,
    )  # fmt: skip
