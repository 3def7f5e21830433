"""How an episode ended (design 3.1)."""

from datetime import date

import pytest

from surveillance.tables import NO, UNKNOWN, YES
from tests.surveillance.records import cells_met, make_record, peritonitis, spell
from tests.surveillance.results import cases_of

HAEMODIALYSIS = "temporary_haemodialysis"
SPELLS = {"pd_spells": [spell("2024-01-01")]}


def outcome(
    *, end="2025-03-14", rule_set="rule_2022", as_of=date(2025, 12, 31), more=None, **tables
):
    episode = peritonitis("E", "2025-03-01", end, resolved=YES) | (more or {})
    samples = [cells_met(0, "2025-03-01"), *tables.pop("effluent_samples", [])]
    record = make_record(
        **SPELLS | {"peritonitis": [episode], "effluent_samples": samples} | tables
    )
    return cases_of(record, rule_set, as_of)["E"]


def test_an_episode_that_resolved_without_more_is_cured():
    found = outcome()
    flags = ("catheter_removed", "haemodialysis_transfer", "died", "admitted")
    assert found["medical_cure"] == "yes" and {found[flag] for flag in flags} == {"no"}


@pytest.mark.parametrize(
    ("removed_on", "reason", "end", "said"),
    [
        ("2025-03-01", "peritonitis", "2025-03-14", "yes"),
        ("2025-03-14", "peritonitis", "2025-03-14", "yes"),
        ("2025-03-15", "peritonitis", "2025-03-14", "no"),
        ("2025-03-29", "peritonitis", None, "yes"),
        ("2025-03-30", "peritonitis", None, "no"),
        ("2025-03-10", "mechanical", "2025-03-14", "no"),
    ],
)
def test_a_removal_for_peritonitis_under_treatment_belongs_to_it(removed_on, reason, end, said):
    row = {"catheter": "C", "inserted_on": "2024-01-01", "removed_on": removed_on}
    found = outcome(end=end, catheters=[row | {"removal_reason": reason}])
    assert found["catheter_removed"] == said


@pytest.mark.parametrize(
    ("last_day_on", "cured"), [("2025-04-03", "yes"), ("2025-04-04", "no"), (None, "no")]
)
def test_a_pause_of_30_days_prevents_cure(last_day_on, cured):
    pause = spell("2025-03-06", last_day_on, reason=HAEMODIALYSIS)
    found = outcome(pd_pauses=[pause])
    assert (found["haemodialysis_transfer"], found["medical_cure"]) == ("yes", cured)


@pytest.mark.parametrize(
    ("back_on", "cured"), [("2025-04-09", "yes"), ("2025-04-10", "no"), (None, "no")]
)
def test_a_spell_ended_by_haemodialysis_is_long_after_30_days_without(back_on, cured):
    spells = [spell("2024-01-01", "2025-03-10", end_reason="haemodialysis")]
    spells += [spell(back_on)] if back_on else []
    found = outcome(pd_spells=spells)
    assert (found["haemodialysis_transfer"], found["medical_cure"]) == ("yes", cured)


@pytest.mark.parametrize(
    ("died_on", "end", "rule_set", "said"),
    [
        ("2025-03-31", "2025-03-14", "rule_2022", "yes"),
        ("2025-04-01", "2025-03-14", "rule_2022", "no"),
        ("2025-04-01", "2025-04-10", "rule_2022", "no"),
        ("2025-04-01", "2025-04-10", "rule_2016", "yes"),
        ("2025-03-29", "2025-03-14", "rule_2016", "yes"),
        ("2025-03-30", "2025-03-14", "rule_2016", "no"),
    ],
)
def test_a_death_belongs_by_its_window(died_on, end, rule_set, said):
    people = [{"patient": "P", "died_on": died_on}]
    assert outcome(end=end, rule_set=rule_set, patients=people)["died"] == said


@pytest.mark.parametrize(
    ("discharged_on", "said"), [(None, "yes"), ("2025-05-01", "yes"), ("2025-04-30", "no")]
)
def test_a_death_inside_an_admission_for_it_belongs(discharged_on, said):
    stay = {"admitted_on": "2025-03-01", "episode": 0}
    stay |= {"discharged_on": discharged_on} if discharged_on else {}
    people = [{"patient": "P", "died_on": "2025-05-01"}]
    found = outcome(patients=people, admissions=[stay])
    assert (found["died"], found["admitted"]) == (said, "yes")


@pytest.mark.parametrize(
    ("later", "said"),
    [
        ([("2025-03-07", 500.0, None)], "yes"),
        ([("2025-03-06", 500.0, None)], "not_assessable"),
        ([("2025-03-07", 100.0, None), ("2025-03-08", 500.0, None)], "no"),
        ([("2025-03-07", None, "cloudy")], "yes"),
        ([("2025-03-07", None, "clear")], "no"),
        ([("2025-03-07", None, None), ("2025-03-08", 500.0, None)], "yes"),
        ([("2025-03-15", 500.0, None)], "not_assessable"),
        ([], "not_assessable"),
    ],
)
def test_the_first_sample_from_day_5_under_treatment_decides(later, said):
    samples = [
        {"sample": f"L{number}", "collected_on": on, "collected_at": on}
        | ({} if count is None else {"leucocytes_per_ul": count})
        | {"appearance": appearance}
        for number, (on, count, appearance) in enumerate(later)
    ]
    given = {"first_antibiotic_on": "2025-03-01", "appropriate_antibiotic_on": "2025-03-02"}
    assert outcome(more=given, effluent_samples=samples)["refractory"] == said


@pytest.mark.parametrize(
    ("judged", "said"), [(YES, "yes"), (NO, "no"), (UNKNOWN, "not_assessable")]
)
def test_a_judgement_goes_before_samples(judged, said):
    assert outcome(more={"judged_refractory": judged})["refractory"] == said


def test_a_later_therapy_end_is_unseen_and_leaves_no_cure():
    assert outcome(as_of=date(2025, 3, 10))["medical_cure"] == "no"


def test_an_unconfirmed_episode_is_asked_for_nothing():
    found = outcome(more={"cloudy_effluent": UNKNOWN, "abdominal_pain": UNKNOWN})
    assert (found["medical_cure"], found["refractory"], found["catheter_related"]) == ("", "", "")
