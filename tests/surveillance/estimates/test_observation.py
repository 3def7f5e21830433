"""Who is watched when: pauses are not watched, who moved goes on, a death ends it."""

from datetime import date

import pytest

from surveillance.estimates.observation import CENSORED, EXIT, PERITONITIS, watched, window
from surveillance.measures.compute import facts_of
from surveillance.rules import RULE_SETS
from surveillance.tables import Record
from tests.surveillance.records import (
    AS_OF,
    cells_met,
    day,
    known_organisms,
    make_record,
    peritonitis,
    spell,
)

YEAR = (day("2025-01-01"), day("2026-01-01"))


def seen_in(record: Record, days: tuple[int, int] = YEAR, events_from: int = YEAR[0]):
    facts = facts_of(record, known_organisms(), RULE_SETS["rule_2022"], AS_OF, None)
    part = window(facts, watched(facts), days, events_from)
    columns = (part.patient, part.entry - YEAR[0], part.exit - YEAR[0], part.cause)
    return list(zip(*(column.tolist() for column in columns), strict=True))


@pytest.mark.parametrize(
    ("more", "cause"),
    [
        ({"end_reason": "haemodialysis"}, EXIT),
        ({"end_reason": None}, EXIT),
        ({"end_reason": "moved"}, CENSORED),
        ({"end_reason": "lost"}, CENSORED),
    ],
)
def test_the_reason_decides_whether_the_risk_is_over(more, cause):
    record = make_record(pd_spells=[spell("2024-12-01", "2025-01-10", **more)])
    assert seen_in(record) == [(0, 0, 10, cause)]


def test_a_death_ends_an_open_spell():
    record = make_record(
        patients=[{"patient": "P", "died_on": "2025-01-10"}], pd_spells=[spell("2025-01-03")]
    )
    assert seen_in(record) == [(0, 2, 10, EXIT)]


def test_a_running_spell_is_cut_off_at_the_end():
    assert seen_in(make_record(pd_spells=[spell("2025-12-30")])) == [(0, 363, 365, CENSORED)]


def test_a_pause_parts_the_watch_and_is_no_exit():
    pause = {
        "started_on": "2025-02-01",
        "last_day_on": "2025-02-10",
        "reason": "temporary_haemodialysis",
    }
    record = make_record(pd_spells=[spell("2025-01-01")], pd_pauses=[pause])
    assert seen_in(record) == [(0, 0, 31, CENSORED), (0, 41, 365, CENSORED)]


def infected(*onsets: str) -> Record:
    return make_record(
        pd_spells=[spell("2024-01-01", "2025-06-30", end_reason="haemodialysis")],
        peritonitis=[
            peritonitis(f"E{place}", onset, day(onset) + 10) for place, onset in enumerate(onsets)
        ],
        effluent_samples=[cells_met(place, onset) for place, onset in enumerate(onsets)],
    )


def test_the_first_peritonitis_ends_the_watch_on_its_day():
    assert seen_in(infected("2025-03-01", "2025-05-01")) == [(0, 0, 60, PERITONITIS)]


def test_a_peritonitis_on_the_last_day_comes_before_the_exit():
    assert seen_in(infected("2025-06-30")) == [(0, 0, 181, PERITONITIS)]


def test_an_earlier_one_leaves_nothing_to_watch_when_it_counts():
    record = infected("2024-12-31", "2025-03-01")
    assert seen_in(record, events_from=day("2024-01-01")) == []
    assert seen_in(record) == [(0, 0, 60, PERITONITIS)]


def test_an_exit_after_the_window_is_none():
    first_quarter = (YEAR[0], day("2025-04-01"))
    assert seen_in(infected(), first_quarter) == [(0, 0, 90, CENSORED)]
    assert date(2025, 3, 31).timetuple().tm_yday == 90
