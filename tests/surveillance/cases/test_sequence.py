"""How an episode follows the one before it: the vectors of standards.md 2.4, and design 3.1."""

import math
from datetime import date, timedelta

import pytest

from surveillance.tables import YES
from tests.surveillance.records import cells_met, make_record, peritonitis, spell
from tests.surveillance.results import cases_of


def course(*episodes, **more):
    """Episodes as (onset, therapy end, organisms): [] = no growth, None = not cultured."""
    rows, samples, isolates = [], [], []
    for number, (onset, end, organisms) in enumerate(episodes):
        culture = "grown" if organisms else "no_growth" if organisms == [] else None
        rows.append(peritonitis(f"E{number}", onset, end))
        samples.append(cells_met(number, onset, culture=culture))
        isolates += [
            {"sample": number, "organism": name} for name in organisms or () if name != "?"
        ]
    made = {"peritonitis": rows, "effluent_samples": samples, "isolates": isolates}
    return make_record(**{"pd_spells": [spell("2023-01-01")]} | made | more)


def said(found, episode):
    row = found[episode]
    gap = None if math.isnan(row["gap_days"]) else row["gap_days"]
    return row["sequence"], row["index_episode"], gap, row["reason"].removeprefix("counted_")


def last_day(gap):
    """An onset so many days after 14 March 2024."""
    return (date(2024, 3, 14) + timedelta(days=gap)).isoformat()


@pytest.mark.parametrize(
    ("before", "gap", "after", "expected"),
    [
        (["S. aureus"], 28, ["S. aureus"], "relapsing"),
        (["S. aureus"], 29, ["S. aureus"], "repeat"),
        (["S. aureus"], 28, ["E. coli"], "recurrent"),
        (["S. aureus"], 29, ["E. coli"], "new"),
        (["S. aureus"], 6, [], "relapsing"),
        ([], 6, ["E. coli"], "relapsing"),
        ([], 6, [], "relapsing"),
        ([], 47, [], "new"),
        (["E. coli", "Klebsiella"], 16, ["Klebsiella"], "relapsing"),
        (["S. aureus"], 0, ["S. aureus"], "same_episode"),
        (["S. aureus"], 6, None, "undetermined"),
        (None, 6, ["S. aureus"], "undetermined"),
        (["?"], 6, ["S. aureus"], "undetermined"),
        (["?"], 29, ["S. aureus"], "new"),
        (None, 29, [], "new"),
    ],
)
def test_gap_and_organisms_decide(before, gap, after, expected):
    found = cases_of(course(("2024-03-01", "2024-03-14", before), (last_day(gap), None, after)))
    assert found["E1"]["sequence"] == expected


def test_without_a_therapy_end_a_later_episode_is_undetermined_and_counts():
    found = cases_of(
        course(("2024-03-01", None, ["S. aureus"]), ("2024-09-01", None, ["S. aureus"]))
    )
    assert said(found, "E1") == ("undetermined", "E0", None, "undetermined")


def test_a_chain_of_relapses_counts_once():
    found = cases_of(
        course(
            ("2024-03-01", "2024-03-14", ["S. aureus"]),
            ("2024-04-01", "2024-04-20", ["S. aureus"]),
            ("2024-05-10", "2024-05-30", ["S. aureus"]),
        )
    )
    assert said(found, "E2") == ("relapsing", "E1", 20, "not_counted_relapse")
    assert [row["counts"] for row in found.values()] == ["yes", "no", "no"]


def test_recurrent_wins_over_repeat():
    found = cases_of(
        course(
            ("2023-12-01", "2023-12-14", ["S. aureus"]),
            ("2024-03-01", "2024-03-14", ["E. coli"]),
            ("2024-03-30", None, ["S. aureus"]),
        )
    )
    assert said(found, "E2") == ("recurrent", "E1", 16, "recurrent")


def test_repeat_names_the_latest_earlier_episode_that_shares_an_organism():
    found = cases_of(
        course(
            ("2023-02-01", "2023-02-14", ["S. aureus"]),
            ("2023-06-01", "2023-06-14", ["S. aureus"]),
            ("2023-10-01", "2023-10-14", ["E. coli"]),
            ("2024-01-01", None, ["S. aureus"]),
        )
    )
    assert said(found, "E3") == ("repeat", "E1", 201, "repeat")


def test_a_relapse_of_an_episode_before_pd_counts_once():
    episodes = [
        ("2023-12-20", "2023-12-30", ["S. aureus"]),
        ("2024-01-10", "2024-01-20", ["S. aureus"]),
        ("2024-02-01", "2024-02-10", ["S. aureus"]),
    ]
    found = cases_of(course(*episodes, pd_spells=[spell("2024-01-01")]))
    assert [row["reason"] for row in found.values()] == [
        "not_counted_before_pd",
        "counted_relapse_of_uncounted",
        "not_counted_relapse",
    ]


def test_rows_of_one_day_are_one_episode_even_without_a_therapy_end():
    found = cases_of(course(("2024-03-01", None, []), ("2024-03-01", "2024-03-20", ["E. coli"])))
    assert said(found, "E1") == ("same_episode", "E0", None, "not_counted_same_episode")


def test_a_joined_row_lends_its_samples_and_its_therapy_end():
    found = cases_of(
        course(
            ("2024-03-01", "2024-03-14", []),
            ("2024-03-10", "2024-03-25", ["E. coli"]),
            ("2024-03-20", None, ["S. aureus"]),
            ("2024-04-20", None, ["E. coli"]),
        )
    )
    assert found["E0"]["organism_group"] == "polymicrobial"
    assert found["E0"]["culture_group"] == "positive"
    assert found["E0"]["culture_criterion"] == "not_met"
    assert said(found, "E1") == ("same_episode", "E0", -4, "not_counted_same_episode")
    assert said(found, "E2") == ("same_episode", "E0", -5, "not_counted_same_episode")
    assert said(found, "E3") == ("relapsing", "E0", 26, "not_counted_relapse")


def test_unconfirmed_rows_stand_outside_the_sequence():
    record = course(("2024-03-01", "2024-03-14", ["E. coli"]), ("2024-04-01", None, None))
    rows = record.effluent_samples.assign(leucocytes_per_ul=[500.0, float("nan")])
    found = cases_of(type(record)(**{**vars(record), "effluent_samples": rows}))
    assert said(found, "E1") == ("", "", None, "not_counted_unconfirmed")


def infection(name, onset, site, end=None, **more):
    signs = {"purulent_discharge": YES, "tunnel_inflammation": YES}
    ends = {} if end is None else {"therapy_completed_on": end}
    return {"infection": name, "onset_on": onset, "site": site} | signs | ends | more


def test_each_site_has_its_own_sequence_and_both_is_the_prior_of_either():
    record = make_record(
        pd_spells=[spell("2023-01-01")],
        catheter_infections=[
            infection("X1", "2024-03-01", "both", "2024-03-14", organism="S. aureus"),
            infection("X2", "2024-03-20", "exit_site", "2024-03-25", organism="S. aureus"),
            infection("X3", "2024-03-30", "tunnel", organism="E. coli"),
        ],
    )
    found = cases_of(record)
    assert said(found, "X2 exit_site") == ("relapsing", "X1", 6, "not_counted_relapse")
    assert said(found, "X3 tunnel") == ("recurrent", "X1", 16, "recurrent")
    assert found["X1 exit_site"]["clinical_criterion"] == ""


def test_an_earlier_episode_without_a_therapy_end_is_never_repeated():
    found = cases_of(
        course(
            ("2023-06-01", None, ["S. aureus"]),
            ("2023-12-01", "2023-12-14", ["E. coli"]),
            ("2024-06-01", None, ["S. aureus"]),
        )
    )
    assert said(found, "E2") == ("new", "", None, "new")
