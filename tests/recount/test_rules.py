"""The recount at the edges of single rules, each expectation read off a sentence of design.md."""

import pytest

from tests.recount.hand_records import add, add_episode, add_patient, figure, one_clinic, tables
from tests.recount.organisms import Catalogue, exact_names, same
from tests.recount.record_files import organism_rows
from tests.recount.seen import Rows

KNOWN = Catalogue(organism_rows())


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("MRSA", "1280", True),  # names, other names and ids lead to one entry
        ("Staphylococcus", "Staphylococcus aureus", True),  # the other's genus
        ("CoNS", "Staphylococcus aureus", False),
        ("CoNS", "Staphylococcus hominis", True),  # the code name, both in the group
        ("Staphylococcus hominis", "Staphylococcus epidermidis", False),
        ("coliforms", "Serratia marcescens", True),  # the other's order
        ("mycobacteria", "Mycobacterium chelonae", True),  # the other's family
        ("yeast", "Candida glabrata", True),  # Fungi and the group fungal
        ("Candida", "Candida glabrata", False),  # now of another genus
        ("Blue  rod", "blue ROD", True),  # without regard to case and repeated spaces
        ("Blue rod", "Green rod", False),
    ],
)
def test_same_organism(one: str, other: str, expected: bool) -> None:
    assert same(KNOWN.find(one), KNOWN.find(other)) is expected


@pytest.mark.parametrize(
    ("names", "kept"),
    [
        (["Staphylococcus", "CoNS"], ["CoNS"]),
        (["Staphylococcus", "S. aureus", "CNS"], ["S. aureus", "CNS"]),
        (["coliforms", "Klebsiella", "573"], ["573"]),
        (["yeast", "Escherichia coli"], ["yeast", "562"]),
    ],
)
def test_vaguer_names_are_dropped(names: list[str], kept: list[str]) -> None:
    assert exact_names({KNOWN.find(n) for n in names}) == {KNOWN.find(name) for name in kept}


def episode_at(onset_on: str = "2025-03-10", ended_on: str = "2025-03-31") -> Rows:
    rows = one_clinic()
    add_patient(rows, "P1", ("2025-01-01", ""))
    add_episode(rows, "P1", "E1", onset_on, ended_on, "Escherichia coli")
    return rows


@pytest.mark.parametrize(
    ("dwell_hours", "leucocytes_per_ul", "neutrophil_percent", "expected"),
    [
        ("2", "101", "50.1", "met"),
        ("2", "100", "88", "not_met"),
        ("2", "101", "50", "not_met"),
        ("1.9", "2300", "88", "not_assessable"),
        ("", "2300", "88", "not_assessable"),
        ("4", "", "50", "not_met"),
        ("4", "2300", "", "not_assessable"),
    ],
)
def test_cell_criterion(
    dwell_hours: str, leucocytes_per_ul: str, neutrophil_percent: str, expected: str
) -> None:
    rows = episode_at()
    rows["effluent_samples"][0] |= {
        "dwell_hours": dwell_hours,
        "leucocytes_per_ul": leucocytes_per_ul,
        "neutrophil_percent": neutrophil_percent,
    }
    assert tables(rows)["cases"][0]["cell_criterion"] == expected


@pytest.mark.parametrize(
    ("pause", "next_spell", "transfer", "cured"),
    [
        # 2025-03-20 to 2025-04-17 are 29 days without PD, the pause's first day counted
        (("2025-03-20", "2025-04-17"), "", "yes", "yes"),
        (("2025-03-20", "2025-04-18"), "", "yes", "no"),
        (("2025-03-20", ""), "", "yes", "no"),  # no next day at risk comes
        (("2025-04-01", "2025-06-30"), "", "no", "yes"),  # not under treatment that day
        # a spell that ends on 2025-03-20: days pass from the 21st on
        (None, "2025-04-19", "yes", "yes"),
        (None, "2025-04-20", "yes", "no"),
    ],
)
def test_transfer_is_long_from_thirty_days(
    pause: tuple[str, str] | None, next_spell: str, transfer: str, cured: str
) -> None:
    rows = episode_at()
    rows["peritonitis"][0]["resolved"] = "yes"
    if pause:
        add(
            rows,
            "pd_pauses",
            started_on=pause[0],
            last_day_on=pause[1],
            reason="temporary_haemodialysis",
        )
    else:
        rows["pd_spells"][0] |= {"last_day_on": "2025-03-20", "end_reason": "haemodialysis"}
        add(rows, "pd_spells", started_on=next_spell)
    case = tables(rows)["cases"][0]
    assert (case["haemodialysis_transfer"], case["medical_cure"]) == (transfer, cured)


@pytest.mark.parametrize(
    ("died_on", "ended_on", "admitted", "in_2022", "in_2016"),
    [
        ("2025-04-09", "", (), "yes", "no"),  # day 30; treated to day 28 where the end is unknown
        ("2025-04-07", "", (), "yes", "yes"),  # day 28
        ("2025-04-10", "", (), "no", "no"),
        ("2025-04-20", "2025-04-20", (), "no", "yes"),  # under treatment
        ("2025-06-01", "2025-03-31", ("2025-03-12", ""), "yes", "yes"),  # an open admission
        ("2025-06-01", "2025-03-31", ("2025-03-12", "2025-05-31"), "no", "no"),
    ],
)
def test_death_belongs_to_an_episode(
    died_on: str, ended_on: str, admitted: tuple[str, ...], in_2022: str, in_2016: str
) -> None:
    rows = episode_at(ended_on=ended_on)
    rows["patients"][0]["died_on"] = died_on
    if admitted:
        add(rows, "admissions", admitted_on=admitted[0], discharged_on=admitted[1], episode="E1")
    found = [tables(rows, rule_set=r)["cases"][0]["died"] for r in ("rule_2022", "rule_2016")]
    assert found == [in_2022, in_2016]


@pytest.mark.parametrize(
    ("collected_at", "leucocytes_per_ul", "appearance", "expected"),
    [
        ("2025-03-15T08:00", "101", "", "not_assessable"),  # day 4 after the switch
        ("2025-03-16T08:00", "101", "", "yes"),
        ("2025-03-16T08:00", "100", "clear", "no"),
        ("2025-03-16T08:00", "", "cloudy", "yes"),
        ("2025-03-16T08:00", "", "", "not_assessable"),
        ("2025-03-31T08:00", "101", "", "yes"),
        ("2025-04-01T08:00", "101", "", "not_assessable"),
    ],
)
def test_refractory_is_seen_from_day_five_of_the_appropriate_antibiotic(
    collected_at: str, leucocytes_per_ul: str, appearance: str, expected: str
) -> None:
    rows = episode_at()
    rows["peritonitis"][0] |= {
        "first_antibiotic_at": "2025-03-10T11:00",
        "appropriate_antibiotic_at": "2025-03-11T11:00",
    }
    add(
        rows,
        "effluent_samples",
        episode="E1",
        sample="S2",
        collected_at=collected_at,
        leucocytes_per_ul=leucocytes_per_ul,
        appearance=appearance,
    )
    assert tables(rows)["cases"][0]["refractory"] == expected


def test_removal_belongs_to_the_latest_onset_under_treatment() -> None:
    rows = episode_at(ended_on="")
    add_episode(rows, "P1", "E2", "2025-03-20", "2025-04-10", "Klebsiella")
    add(
        rows,
        "catheters",
        catheter="K1",
        inserted_on="2024-12-01",
        removed_on="2025-03-25",
        removal_reason="peritonitis",
    )
    assert [row["catheter_removed"] for row in tables(rows)["cases"]] == ["no", "yes"]


def test_only_the_last_catheter_of_a_day_is_blamed_for_an_episode() -> None:
    rows = episode_at("2025-03-31")
    for name in ("K1", "K2"):
        add(rows, "catheters", catheter=name, inserted_on="2025-03-01")
    row = figure(tables(rows)["measures"], "2025-Q1", "insertion_related_share")
    assert (row["numerator"], row["denominator"]) == (1, 2)


@pytest.mark.parametrize(
    ("onset_on", "rule_set", "reason"),
    [
        ("2024-12-31", "rule_2022", "not_counted_before_pd"),
        ("2025-01-10", "rule_2016", "not_counted_before_training"),
        ("2025-01-10", "rule_2022", "counted_new"),
        ("2025-02-03", "rule_2016", "not_counted_paused"),
        ("2025-03-31", "rule_2016", "counted_new"),
        ("2025-04-01", "rule_2022", "not_counted_after_pd"),
    ],
)
def test_first_reason_that_holds_off_risk(onset_on: str, rule_set: str, reason: str) -> None:
    rows = one_clinic()
    add_patient(rows, "P1", ("2025-01-01", "2025-03-31"))
    add(rows, "trainings", started_on="2025-02-10", completed_on="2025-02-15", kind="initial")
    add(
        rows, "pd_pauses", started_on="2025-02-03", last_day_on="2025-02-03", reason="catheter_rest"
    )
    add_episode(rows, "P1", "E1", onset_on, "", "Escherichia coli")
    assert tables(rows, rule_set=rule_set)["cases"][0]["reason"] == reason


def test_what_begins_after_as_of_is_unseen_and_a_later_end_is_empty() -> None:
    rows = episode_at()
    add_episode(rows, "P1", "E2", "2025-03-21", "2025-04-30", "Escherichia coli")
    seen = tables(rows, as_of="2025-03-20")
    assert [row["episode"] for row in seen["cases"]] == ["E1"]
    assert [row["period"] for row in seen["days"]] == ["2025-01", "2025-02"]
    assert sum(row["days"] for row in seen["ledger"]) == 59
