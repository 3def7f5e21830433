"""Of those at risk on every day of the year, the share without a confirmed peritonitis."""

import pytest

from tests.surveillance.estimates.found import estimate_rows, estimates
from tests.surveillance.records import cells_met, make_record, peritonitis, spell

KEY = ("peritonitis_free_share", "", "full_year_patients")


def record_of(spells: list[dict], onsets: list[tuple[int, str]]):
    return make_record(
        patients=[{"patient": f"P{number}"} for number in range(len(spells))],
        pd_spells=[one | {"patient": number} for number, one in enumerate(spells)],
        peritonitis=[
            peritonitis(f"E{number}", onset, patient=patient)
            for number, (patient, onset) in enumerate(onsets)
        ],
        effluent_samples=[cells_met(number, onset) for number, (_, onset) in enumerate(onsets)],
    )


RECORD = record_of(
    [spell("2025-01-01"), spell("2024-06-01"), spell("2025-01-02"), spell("2024-01-01")],
    [(1, "2025-12-31"), (2, "2025-05-01"), (3, "2024-12-31")],
)


def test_only_those_there_all_year_are_asked():
    row = estimates(RECORD)[KEY]
    assert row["value"] == pytest.approx(2 / 3)
    assert row["note"] == "2 of 3 at risk all year"
    # Clopper-Pearson 2 of 3: R binom.test(2, 3)
    assert (row["lower"], row["upper"]) == pytest.approx((0.0942993, 0.9915962), rel=1e-5)


def test_a_leap_year_has_366_days():
    row = estimates(RECORD, "2024")[KEY]
    assert (row["value"], row["note"]) == (0, "0 of 1 at risk all year")


def test_nobody_there_all_year_gives_no_share():
    row = estimates(record_of([spell("2025-02-01")], []))[KEY]
    assert (row["value"], row["lower"], row["note"]) == (None, None, "0 of 0 at risk all year")


def test_quarters_are_not_asked():
    periods = {row["period"] for row in estimate_rows(RECORD) if row["method"] == KEY[2]}
    assert all("Q" not in period or period.endswith("/4q") for period in periods)
