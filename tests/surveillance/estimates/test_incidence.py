"""First peritonitis and mean counts since PD began: worked examples lived by patients."""

import pytest

from surveillance.tables import Record
from tests.published.given_rows import example
from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import cells_met, day, make_record, peritonitis, spell

START = "2024-01-01"
FIRST = "first_peritonitis_cumulative_incidence"
COUNT = "peritonitis_mean_cumulative_count"


def lived(people: list[tuple[int, list[int], str]]) -> Record:
    """(days on PD, clock days of episodes counted from 1, why it ended); all begin on one day."""
    episodes = [
        (patient, day(START) + number - 1)
        for patient, (_, numbers, _) in enumerate(people)
        for number in numbers
    ]
    return make_record(
        patients=[{"patient": f"P{number:02d}"} for number in range(len(people))],
        pd_spells=[
            spell(START, day(START) + days - 1, patient=patient, end_reason=reason)
            for patient, (days, _, reason) in enumerate(people)
        ],
        peritonitis=[
            peritonitis(f"E{place}", onset, onset, patient=patient)
            for place, (patient, onset) in enumerate(episodes)
        ],
        effluent_samples=[
            cells_met(place, onset, culture="grown") for place, (_, onset) in enumerate(episodes)
        ],
        isolates=[
            {"sample": place, "organism": ("Staphylococcus aureus", "Escherichia coli")[place % 2]}
            for place in range(len(episodes))
        ],
    )


def test_ten_patients_of_the_competing_risks_example():
    # worked_examples aj-01, its unit of time read as 30 days; cause 2 and 3 leave, 0 goes on unseen
    given, expected = example("aj-01")
    people = [
        (30 * time, [30 * time] if cause == 1 else [], "moved" if cause < 2 else "transplant")
        for time, cause in zip(given["time"], given["cause"], strict=True)
    ]
    found = estimates(lived(people), "2024")
    # F1 of the example at 2, 5, 7, 12 units; 180 days = 6 units: one more at 5, none at 6
    assert found[FIRST, "90", "aalen_johansen"]["value"] == pytest.approx(
        expected["cif_cause_1"][0], abs=1e-12
    )
    assert found[FIRST, "180", "aalen_johansen"]["value"] == pytest.approx(
        expected["cif_cause_1"][1], abs=1e-12
    )
    assert found[FIRST, "365", "aalen_johansen"]["value"] is None  # watched to day 360


def test_the_curve_by_hand():
    """Four start: one infected on day 50, one leaves on day 100, one infected on day 150."""
    people = [(400, [50], "moved"), (100, [], "death"), (400, [150], "moved"), (400, [], "moved")]
    found = estimates(lived(people), "2025")
    incidence = {band: found[FIRST, band, "aalen_johansen"]["value"] for band in ("90", "180")}
    # 1/4; then S = 3/4, after the exit 3/4 x 2/3 = 1/2, then 1/2 x 1/2 more
    assert incidence == {"90": pytest.approx(0.25), "180": pytest.approx(0.5)}
    km = found[FIRST, "180", "one_minus_kaplan_meier"]
    assert km["value"] == pytest.approx(1 - 3 / 4 * 1 / 2)
    assert km["note"].startswith("overstates")


def test_six_patients_of_the_mean_count_example():
    # worked_examples mcf-01: naive 1.51667, Ghosh-Lin 1.16667 at 365 days
    given, expected = example("mcf-01")
    people = [
        (one["last_day"], one["episodes"], "death" if one["terminal"] else "moved")
        for one in given["patients"]
    ]
    found = estimates(lived(people), "2025")
    for method in ("naive", "ghosh_lin"):
        row = found[COUNT, "365", method]
        assert row["value"] == pytest.approx(expected[method][-1], abs=1e-10)
        assert (row["note"] == "") == (method == "ghosh_lin")
        assert found[COUNT, "730", method]["value"] is None  # nobody was watched so long


def test_only_days_inside_the_year_make_its_free_share():
    """On the year's own days: of two watched one is infected in 2025; both began in 2024."""
    record = lived([(800, [500], "moved"), (800, [30], "moved")])
    found = estimates(record, "2025")
    share = found["peritonitis_free_share", "", "aalen_johansen_calendar"]
    assert share["value"] == pytest.approx(0.5)
    # since PD began: day 30 of the second lies before the year, and the first is watched from 366
    assert found["peritonitis_free_share", "", "aalen_johansen"]["value"] == pytest.approx(1)
    year_before = estimates(record, "2024")
    share = year_before["peritonitis_free_share", "", "aalen_johansen"]
    assert share["value"] == pytest.approx(0.5)


def test_a_later_period_knows_more():
    record = lived([(800, [200], "moved"), (800, [], "moved")])
    found = estimates(record, "2024")
    assert found[FIRST, "365", "aalen_johansen"]["value"] == pytest.approx(0.5)
    assert found[COUNT, "730", "ghosh_lin"]["value"] is None
    assert estimates(record, "2025")[COUNT, "730", "ghosh_lin"]["value"] == pytest.approx(0.5)
