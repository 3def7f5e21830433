"""The recount itself is checked by hand: figures of published and worked examples."""

import pytest

from tests.recount.hand_records import (
    add,
    add_episode,
    add_patient,
    day_before,
    figure,
    one_clinic,
    tables,
)
from tests.recount.limits import binomial_share_limits, poisson_mean_limits
from tests.recount.seen import Rows

AUREUS, COLI = "Staphylococcus aureus", "Escherichia coli"


@pytest.mark.parametrize(
    ("ended_on", "before", "onset_on", "organisms", "sequence", "counts"),
    [
        # standards.md 2.4, test vectors for classification
        ("2024-03-14", [AUREUS], "2024-04-11", [AUREUS], "relapsing", "no"),
        ("2024-03-14", [AUREUS], "2024-04-12", [AUREUS], "repeat", "yes"),
        ("2024-03-14", [AUREUS], "2024-04-11", [COLI], "recurrent", "yes"),
        ("2024-03-14", [AUREUS], "2024-04-12", [COLI], "new", "yes"),
        ("2024-03-14", [AUREUS], "2024-03-20", [], "relapsing", "no"),
        ("2024-03-14", [], "2024-03-20", [COLI], "relapsing", "no"),
        ("2024-03-14", [], "2024-03-20", [], "relapsing", "no"),
        ("2024-03-14", [], "2024-04-30", [], "new", "yes"),
        ("2024-03-14", [COLI, "Klebsiella"], "2024-03-30", ["Klebsiella"], "relapsing", "no"),
        ("2024-03-14", [AUREUS], "2024-03-14", [AUREUS], "same_episode", "no"),
        ("", [AUREUS], "2024-04-12", [AUREUS], "undetermined", "yes"),
    ],
)
def test_second_episode_is_classified_as_the_vectors_say(
    ended_on: str,
    before: list[str],
    onset_on: str,
    organisms: list[str],
    sequence: str,
    counts: str,
) -> None:
    rows = one_clinic()
    add_patient(rows, "P1", ("2023-01-01", ""))
    add_episode(rows, "P1", "E1", "2024-03-01", ended_on, *before)
    add_episode(rows, "P1", "E2", onset_on, "", *organisms)
    second = tables(rows)["cases"][1]
    assert (second["sequence"], second["counts"]) == (sequence, counts)


def three_episodes(*episodes: tuple[str, str, str]) -> list[tuple[object, ...]]:
    rows = one_clinic()
    add_patient(rows, "P1", ("2023-01-01", ""))
    for number, (onset_on, ended_on, organism) in enumerate(episodes):
        add_episode(rows, "P1", f"E{number}", onset_on, ended_on, organism)
    keys = ("sequence", "index_episode", "gap_days", "counts")
    return [tuple(row[key] for key in keys) for row in tables(rows)["cases"]]


def test_a_chain_of_relapses_counts_once() -> None:
    # standards.md 2.4: "relapse (end 04-20), 2024-05-10, 20, relapsing; chain of 3 counts 1"
    assert three_episodes(
        ("2024-03-01", "2024-03-14", AUREUS),
        ("2024-04-01", "2024-04-20", AUREUS),
        ("2024-05-10", "2024-05-30", AUREUS),
    ) == [("new", "", "", "yes"), ("relapsing", "E0", 18, "no"), ("relapsing", "E1", 20, "no")]


def test_recurrent_wins_over_repeat_of_an_older_episode() -> None:
    # standards.md 2.4 last row and A8
    assert three_episodes(
        ("2023-12-01", "2023-12-20", AUREUS),
        ("2024-03-01", "2024-03-14", COLI),
        ("2024-03-30", "2024-04-14", AUREUS),
    )[2] == ("recurrent", "E1", 16, "yes")


def handbook_quarter() -> Rows:
    # published_checks.csv W05: 20 patients the whole quarter, then 1, 2, 2 and 2 more
    rows = one_clinic()
    starts = ["2025-01-01"] * 20 + ["2025-02-05"] + ["2025-02-10"] * 2
    starts += ["2025-03-12"] * 2 + ["2025-03-21"] * 2
    for number, start in enumerate(starts):
        add_patient(rows, f"P{number}", (start, "2025-03-31"))
    add_episode(rows, "P1", "E1", "2025-01-20", "2025-02-10", AUREUS)
    add_episode(rows, "P2", "E1", "2025-03-05", "2025-03-20", COLI)
    return rows


def test_handbook_quarter_has_2017_patient_days() -> None:
    row = figure(tables(handbook_quarter())["measures"], "2025-Q1", "peritonitis_rate")
    assert (row["numerator"], row["denominator"]) == (2, 2017)
    assert row["value"] == pytest.approx(2 * 365.25 / 2017, rel=1e-15)
    # published_checks.csv W09: exact 95 % limits 0.0438-1.3074 with 365 days a year
    assert row["lower"] * 365 / 365.25 == pytest.approx(0.0438, abs=5e-5)
    assert row["upper"] * 365 / 365.25 == pytest.approx(1.3074, abs=5e-5)
    assert row["verdict"] == "meets_uncertain"


@pytest.mark.parametrize(
    ("count", "lower", "upper"),
    [
        # standards.md 3.4 (Garwood), two independent ways there
        (0, 0, 3.6889),
        (1, 0.0253, 5.5716),
        (2, 0.2422, 7.2247),
        (3, 0.6187, 8.7673),
        (4, 1.0899, 10.2416),
        (5, 1.6235, 11.6683),
        (10, 4.7954, 18.3904),
        (20, 12.2165, 30.8884),
        (50, 37.1110, 65.9188),
        (100, 81.3640, 121.6268),
    ],
)
def test_poisson_limits_are_garwoods(count: int, lower: float, upper: float) -> None:
    assert poisson_mean_limits(count) == pytest.approx((lower, upper), abs=5e-5)


@pytest.mark.parametrize(
    ("count", "of", "lower", "upper"),
    [
        # closed forms: 0 of n has the upper limit 1 - 0.025**(1/n), n of n its mirror
        (0, 10, 0, 1 - 0.025 ** (1 / 10)),
        (10, 10, 0.025 ** (1 / 10), 1),
        (1, 1, 0.025, 1),
    ],
)
def test_binomial_limits_at_none_and_all(count: int, of: int, lower: float, upper: float) -> None:
    assert binomial_share_limits(count, of) == pytest.approx((lower, upper), rel=1e-12)


# worked_examples.csv split-03..12: spells half-open there, the bands of design 3.3
COHORT = [
    ([("2025-01-01", "2025-12-31")], ["2025-01-01", "2025-07-01"], ["2025-03-15", "2025-08-20"]),
    ([("2025-02-10", "2025-10-01")], ["2025-02-10"], ["2025-09-05"]),
    ([("2025-01-01", "2025-12-31")], ["2024-06-01", "2024-12-01"], ["2025-11-11"]),
    ([("2025-05-20", "2025-12-31")], ["2025-05-20", "2025-08-20"], []),
]
EDGES = (
    [("2024-01-01", "2025-06-30")],
    ["2024-01-01", "2024-01-01", "2024-04-01", "2024-09-30"],
    ["2024-03-31", "2024-04-01", "2024-09-29", "2024-09-30"],
)
OVERLAP = (
    [("2024-01-01", "2024-03-01"), ("2024-02-15", "2024-04-01"), ("2024-06-01", "2024-09-01")],
    ["2024-01-01", "2024-05-15"],
    ["2024-02-20", "2024-05-01", "2024-06-01"],
)
LATE_TRAINING = ([("2024-01-01", "2024-07-01")], ["2024-03-01"], ["2024-02-29", "2024-03-01"])
SPLITS = [
    (
        "split-04",
        COHORT,
        [
            ("2025-Q1", "0-90", 200, 1),
            ("2025-Q1", "91-181", 30, 0),
            ("2025-Q2", "0-90", 84, 0),
            ("2025-Q2", "91-181", 201, 0),
            ("2025-Q2", "182-364", 30, 0),
            ("2025-Q3", "0-90", 182, 1),
            ("2025-Q3", "91-181", 43, 0),
            ("2025-Q3", "182-364", 143, 1),
            ("2025-Q4", "0-90", 49, 0),
            ("2025-Q4", "91-181", 132, 0),
            ("2025-Q4", "182-364", 62, 1),
            ("2025-Q4", "365-729", 30, 0),
        ],
    ),
    (
        "split-06",
        [([("2024-02-29", "2024-03-01")], ["2024-02-29"], ["2024-02-29"])],
        [
            ("2024-Q1", "0-90", 1, 1),
        ],
    ),
    (
        "split-08",
        [LATE_TRAINING],
        [
            ("2024-Q1", "0-90", 31, 1),
            ("2024-Q1", "none_recorded", 60, 1),
            ("2024-Q2", "0-90", 60, 0),
            ("2024-Q2", "91-181", 31, 0),
        ],
    ),
    (
        "split-10",
        [OVERLAP],
        [
            ("2024-Q1", "0-90", 91, 1),
            ("2024-Q2", "0-90", 30, 1),
            ("2024-Q3", "0-90", 44, 0),
            ("2024-Q3", "91-181", 18, 0),
        ],
    ),
    (
        "split-12",
        [EDGES],
        [
            ("2024-Q1", "0-90", 91, 1),
            ("2024-Q2", "0-90", 91, 1),
            ("2024-Q3", "0-90", 1, 1),
            ("2024-Q3", "91-181", 91, 1),
            ("2024-Q4", "0-90", 90, 0),
            ("2024-Q4", "91-181", 2, 0),
            ("2025-Q1", "91-181", 89, 0),
            ("2025-Q1", "182-364", 1, 0),
            ("2025-Q2", "182-364", 90, 0),
        ],
    ),
]


def cohort(patients: list[tuple[list[tuple[str, str]], list[str], list[str]]]) -> Rows:
    rows = one_clinic()
    for number, (spells, trainings, onsets) in enumerate(patients):
        name = f"P{number}"
        add_patient(rows, name, *[(start, day_before(stop)) for start, stop in spells])
        for place, day in enumerate(trainings):
            add(rows, "trainings", name, completed_on=day, kind="scheduled", trainer=f"T{place}")
        for place, day in enumerate(onsets):  # organisms differ, so that each episode counts
            add_episode(rows, name, f"E{place}", day, day, f"Invented rod {place}")
    return rows


@pytest.mark.parametrize(("patients", "cells"), [s[1:] for s in SPLITS], ids=[s[0] for s in SPLITS])
def test_days_and_episodes_fall_in_the_bands_of_the_worked_example(
    patients: list[tuple[list[tuple[str, str]], list[str], list[str]]],
    cells: list[tuple[str, str, int, int]],
) -> None:
    rows = tables(cohort(patients))["measures"]
    found = [
        (row["period"], row["band"], row["denominator"], row["numerator"])
        for row in rows
        if (row["measure"], row["split"]) == ("peritonitis_rate", "time_since_training")
        and "-Q" in row["period"]
        and "/" not in row["period"]
    ]
    assert sorted(found) == sorted(cells)


def test_cohort_of_statistics_2_12_by_year() -> None:
    # statistics.md 2.12 with design.md's bands, since the last training: 515/2; 406/0; 235/2; 30/0
    rows = tables(cohort(COHORT))["measures"]
    expected = {"0-90": (515, 2), "91-181": (406, 0), "182-364": (235, 2), "365-729": (30, 0)}
    for band, days_episodes in expected.items():
        row = figure(rows, "2025", "peritonitis_rate", "time_since_training", band)
        assert (row["denominator"], row["numerator"]) == days_episodes
    whole = figure(rows, "2025", "peritonitis_rate")
    assert (whole["denominator"], whole["numerator"]) == (1186, 4)


def test_ledger_sums_to_the_days_table() -> None:
    result = tables(cohort(COHORT))
    at_risk = sum(row["days"] for row in result["ledger"] if row["state"] == "at_risk")
    months = [row for row in result["days"] if len(row["period"]) == 7 and "Q" not in row["period"]]
    assert at_risk == sum(row["days_at_risk"] for row in months) == 1186
