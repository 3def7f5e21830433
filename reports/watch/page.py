"""What the Watch page shows of one clinic: what stands out, the pictures, what is quiet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.urls import reverse

from clinic.models import Person
from clinic.roles import can
from reports.charts.chart import Chart
from reports.rate_report.figures import Figures
from reports.rate_report.number_text import number_word
from reports.rate_report.tables import stored_table
from reports.state_text import HeadCell, moment_text, state_words
from reports.watch.lines import Row, line_name, looks_sentence, luck_text, quiet_lines
from reports.watch.pictures import lanes_picture, sum_picture
from reports.watch.sight import Watched
from reports.watch.standing import Signal
from surveillance.words import day_text

_SMALL = range(1, 5)


@dataclass(frozen=True)
class SignalLine:
    """One signal as the page lists it."""

    signal: Signal
    name: str
    days: str
    luck: str
    address: str
    count: str  # patients or episodes; small ones hidden from outside readers

    @property
    def is_gone(self) -> bool:
        return not self.signal.rows


def signal_address(watched: Watched, signal: Signal, name: str = "signal") -> str:
    return reverse(name, args=[watched.clinic.uid, *signal.key])


def line_of(watched: Watched, signal: Signal) -> SignalLine:
    last: Row = signal.rows[-1] if signal.rows else {"false_alarms_per_year": None, "observed": 0}
    seen = last["observed"] or 0
    hidden = watched.is_masked and seen in _SMALL
    days = f"{day_text(signal.window_start)} to {day_text(signal.window_end)}"
    return SignalLine(
        signal, line_name(signal.rule, signal.band), days,
        luck_text(last) if signal.rows else "", signal_address(watched, signal),
        "1–4" if hidden else str(seen),
    )  # fmt: skip


def pictures(watched: Watched) -> list[Chart]:
    """The weekly sum and the lanes; none for readers who may see no single episode."""
    if watched.snapshot is None or watched.last_day is None or not watched.sees_episodes:
        return []
    cases = stored_table(watched.snapshot, "cases").rows

    def address_of(one: Signal) -> str:
        return signal_address(watched, one)

    found = [
        sum_picture(watched.rows, watched.signals, address_of),
        lanes_picture(cases, watched.signals, watched.last_day, address_of),
    ]
    return [chart for chart in found if chart]


def network_address(person: Person, watched: Watched) -> str:
    """The funnel of the network at the latest quarter, for whoever may see clinics side by side."""
    clinic, snapshot = watched.clinic, watched.snapshot
    if snapshot is None or not clinic.network or not can(person, "dashboard.network", clinic):
        return ""
    quarters = Figures(snapshot).quarters()
    return reverse("network", args=[clinic.uid, quarters[-1]]) if quarters else ""


def page(person: Person, watched: Watched) -> dict[str, Any]:
    open_ = [one for one in watched.signals if one.is_open]
    return {
        "page_name": "Watch",
        "clinic": watched.clinic,
        "watched": watched,
        "snapshot": watched.snapshot,
        "head_cells": head_cells(watched),
        "finding": _finding(watched, open_),
        "looks": looks_sentence(watched.rows),
        "open": [line_of(watched, one) for one in open_],
        "closed": [line_of(watched, one) for one in watched.signals if not one.is_open],
        "charts": pictures(watched),
        "network": network_address(person, watched),
        "quiet": (quiet := quiet_lines(watched.rows) if not watched.is_masked else []),
        "quiet_lines": sum(one.lines for one in quiet),
        "notes": [row for row in watched.rows if row["rule"] == "organism_pair"
                  and _is_recent(row, watched.last_day)] if watched.sees_episodes else [],
    }  # fmt: skip


def _is_recent(row: Row, last: date | None) -> bool:
    """Information lines of the last three months."""
    return last is not None and (last - date.fromisoformat(row["window_end"])).days <= 91


def head_cells(watched: Watched) -> list[HeadCell]:
    cells = [("Clinic", watched.clinic.name)]
    if watched.snapshot is None or watched.last_day is None:
        return cells
    made = moment_text(watched.snapshot.made_at, watched.clinic)
    return [
        *cells, ("Known to", day_text(watched.last_day)), ("Computed", made),
        ("State", state_words(watched.snapshot)),
    ]  # fmt: skip


def _finding(watched: Watched, open_: list[Signal]) -> str:
    if watched.snapshot is None:
        return "Nothing is computed yet."
    if not open_:
        return "Nothing stands out of chance, and nothing is open."
    fresh = sum(one.state == "new" for one in open_)
    many = number_word(len(open_)).capitalize()
    told = f"{many} {'signal is' if len(open_) == 1 else 'signals are'} open"
    if fresh and watched.may_work:
        one_of = "at it" if len(open_) == 1 else f"at {number_word(fresh)} of them"
        return f"{told}; nobody has looked {one_of} yet."
    return f"{told}."
