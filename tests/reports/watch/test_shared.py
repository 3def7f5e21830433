"""What cases share, counted by hand; what is not known is never taken for a difference."""

from datetime import date
from uuid import uuid4

from clinic.case_context import Around
from reports.watch.shared import agents, dates_text, share_among, shared


def around(**more) -> Around:
    return Around(uid=uuid4(), patient_uid=uuid4(), **more)


HELD = [
    around(organisms=frozenset({"Pseudomonas aeruginosa"}), tested={"gentamicin": "S"},
           place="Seaside room", trainer="T-01", modality="apd"),
    around(organisms=frozenset({"Pseudomonas aeruginosa"}), place="Seaside room", trainer="T-02",
           tested={"gentamicin": "S", "amikacin": "R"}, modality="capd"),
    around(organisms=frozenset({"Acinetobacter baumannii"}), trainer="T-01", modality="apd"),
]  # fmt: skip


def test_each_feature_counts_its_cases_and_says_of_how_many_it_is_known():
    found = {one.name: one for one in shared(HELD)}
    organism = found["Organism"]
    assert organism.values == (("Pseudomonas aeruginosa", 2), ("Acinetobacter baumannii", 1))
    assert (organism.known, organism.is_shared) == (3, False)
    place = found["Place of exchanges away from home"]
    assert (place.values, place.known, place.cases) == ((("Seaside room", 2),), 2, 3)
    assert place.is_shared
    assert found["Batch of bag and cap"].said == "not known"
    pattern = found["Susceptibility pattern"]
    assert pattern.values == (("amikacin R, gentamicin S", 1), ("gentamicin S", 1))


def test_one_known_case_shares_nothing():
    (place,) = [one for one in shared(HELD[:1]) if one.name.startswith("Place")]
    assert not place.is_shared


def test_the_commonest_trainer_is_set_beside_the_share_of_everybodys_days():
    rows = [
        {"split": "", "band": "", "denominator": 400},
        {"split": "trainer", "band": "T-01", "denominator": 100},
    ]
    found = {one.name: one for one in shared(HELD, share_among(rows))}
    assert found["Trainer of the latest training"].compare.startswith("T-01: 25 %")
    assert found["Modality"].compare == ""


def test_agents_say_not_tested_by_an_empty_cell():
    assert agents(HELD) == [("amikacin", ("", "R", "")), ("gentamicin", ("S", "S", ""))]


def test_the_days_of_the_onsets():
    assert dates_text([date(2025, 7, 15), date(2025, 7, 1)]) == (
        "Onsets from 1 Jul 2025 to 15 Jul 2025, 14 days."
    )
    assert dates_text([date(2025, 7, 1)]) == "Onset on 1 Jul 2025."
