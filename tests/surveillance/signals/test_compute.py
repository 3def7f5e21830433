"""All tables in one pass; and what issue 5 asks the organism alarm to find."""

from datetime import date, timedelta

import pytest

from surveillance.measures.compute import compute
from surveillance.rules import RULE_SETS
from surveillance.signals.alarm import is_alarm
from surveillance.signals.compute import compute_everything, stop_of_watch
from surveillance.table_text import table_text
from tests.surveillance.records import AS_OF, catalogue, day, make_record
from tests.surveillance.signals.watched import clinic, signal_frame_of

RULES = RULE_SETS["rule_2022"]
# One organism of each group that the catalogue has a species for.
GROUPS = {
    "pseudomonas": "Pseudomonas aeruginosa",
    "fungal": "Candida albicans",
    "escherichia_coli": "Escherichia coli",
    "mycobacterial": "Mycobacterium abscessus",
    "coagulase_negative_staphylococcus": "Staphylococcus epidermidis",
}


def alarm_days(record, band: str, as_of: date) -> list[str]:
    frame = signal_frame_of(record, as_of=as_of)
    rows = frame[(frame["rule"] == "organism_cluster") & (frame["band"] == band)]
    return [row["window_end"] for row in rows.to_dict("records") if is_alarm(row)]


@pytest.mark.parametrize(("band", "organism"), GROUPS.items())
def test_three_of_any_group_are_found_within_a_week_of_the_last(band: str, organism: str) -> None:
    last = date(2025, 6, 20)
    cases = [("2025-05-01", 1, organism), ("2025-06-01", 2, organism), (str(last), 3, organism)]
    noise = [(f"2024-{month:02}-03", 10 + month, "Streptococcus mitis") for month in range(1, 13)]
    record = clinic(30, cases + noise)
    assert alarm_days(record, band, last - timedelta(days=1)) == []
    for days in (0, 7):  # on the day, and it still stands a week later
        assert alarm_days(record, band, last + timedelta(days=days))


def test_the_tables_are_those_of_the_method_with_signals_beside_them() -> None:
    record = clinic(5, [("2025-05-01", 1, GROUPS["fungal"])])
    found = compute_everything(record, catalogue(), RULES, AS_OF)
    plain = compute(record, catalogue(), RULES, AS_OF)
    assert table_text("measures", found.result.measures) == table_text("measures", plain.measures)
    assert len(found.estimates)
    assert len(found.signals)


def test_the_same_record_gives_the_same_bytes() -> None:
    record = clinic(5, [("2025-05-01", 1, GROUPS["fungal"])])
    one, other = (table_text("signals", signal_frame_of(record)) for _ in range(2))
    assert one == other


def test_the_watch_stops_with_the_day_or_with_the_last_period() -> None:
    assert stop_of_watch(AS_OF, None) == day("2026-01-01")
    assert stop_of_watch(AS_OF, "2025-Q3") == day("2025-10-01")
    assert stop_of_watch(date(2025, 8, 1), "2025-Q3") == day("2025-08-02")


def test_a_record_without_anything_dated_has_no_rows() -> None:
    assert len(signal_frame_of(make_record())) == 0
