"""Which alarm rows are one signal, and which work belongs to it: by hand, from a few rows."""

from dataclasses import dataclass, field
from datetime import date
from types import SimpleNamespace

import pytest

from reports.watch.standing import signals_of


def row(band: str, start: str, end: str, rule: str = "organism_cluster") -> dict:
    return {
        "rule": rule, "measure": "organism_rate", "split": "organism_group", "band": band,
        "window_start": start, "window_end": end, "sentence": f"{band} to {end}",
    }  # fmt: skip


@dataclass
class Done:
    """Work as the page reads it."""

    work: SimpleNamespace
    state: str = "seen"
    closed_on: date | None = None
    entries: list = field(default_factory=list)


def done(band: str, start: str, end: str, **more) -> Done:
    work = SimpleNamespace(
        rule="organism_cluster", measure="organism_rate", split="organism_group", band=band,
        raised_on=date.fromisoformat(end), window_start=date.fromisoformat(start),
        window_end=date.fromisoformat(end), sentence="as it read then",
    )  # fmt: skip
    return Done(work, **more)


FIRST = row("fungal", "2025-06-01", "2025-07-26")
NEXT = row("fungal", "2025-06-10", "2025-08-04")
LATER = row("fungal", "2025-11-01", "2025-12-26")


def test_windows_that_overlap_are_one_signal_and_those_apart_are_two():
    late, early = signals_of([NEXT, LATER, FIRST], [])
    assert early.raised_on == date(2025, 7, 26)
    assert (early.window_start, early.window_end) == (date(2025, 6, 1), date(2025, 8, 4))
    assert early.sentence == "fungal to 2025-08-04" and len(early.rows) == 2
    assert late.raised_on == date(2025, 12, 26)


@pytest.mark.parametrize(("start", "signals"), [("2025-09-01", 1), ("2025-09-02", 2)])
def test_a_lull_of_four_weeks_does_not_end_a_signal(start, signals):
    """4 August and 28 days more is 1 September."""
    assert len(signals_of([NEXT, row("fungal", start, "2025-10-20")], [])) == signals


def test_work_is_found_again_when_a_late_entry_moves_the_window():
    moved = row("fungal", "2025-05-20", "2025-07-14")
    (found,) = signals_of([moved], [done("fungal", "2025-06-01", "2025-07-26")])
    assert found.state == "seen" and found.rows == (moved,)
    assert found.raised_on == date(2025, 7, 26)  # its address stays


def test_an_alarm_after_the_closing_is_open_again():
    closed = done("fungal", "2025-06-01", "2025-07-26", state="closed",
                  closed_on=date(2025, 8, 1))  # fmt: skip
    newer, older = signals_of([FIRST, NEXT], [closed])
    assert (older.state, older.rows) == ("closed", (FIRST,))
    assert (newer.state, newer.rows, newer.is_open) == ("new", (NEXT,), True)


def test_what_the_figures_no_longer_show_stays_with_its_work():
    (found,) = signals_of([], [done("fungal", "2025-06-01", "2025-07-26")])
    assert found.is_open and found.rows == () and found.sentence == "as it read then"


def test_one_water_organism_is_said_with_the_water_signal_unless_worked_on():
    rows = [
        row("water", "2025-06-01", "2025-07-26"),
        row("pseudomonas", "2025-06-05", "2025-07-30"),
    ]
    (found,) = signals_of(rows, [])
    assert found.band == "water" and found.also == ("pseudomonas to 2025-07-30",)
    both = signals_of(rows, [done("pseudomonas", "2025-06-05", "2025-07-30")])
    assert {one.band for one in both} == {"water", "pseudomonas"}


def test_water_organisms_of_another_time_stand_alone():
    rows = [
        row("water", "2025-06-01", "2025-07-26"),
        row("pseudomonas", "2024-06-05", "2024-07-30"),
    ]
    assert [one.band for one in signals_of(rows, [])] == ["water", "pseudomonas"]
