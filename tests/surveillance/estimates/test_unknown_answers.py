"""Unknown answers beside every share of episodes, and what the share could then be."""

import pytest

from surveillance.tables import NO, YES
from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import cells_met, make_record, peritonitis, spell

METHOD = "bounds_for_missing_fields"
ENDED = {"therapy_completed_on": "2025-03-15"}


def answers(episode: dict, sample: dict | None = None, **tables: list[dict]) -> dict:
    """Estimates of one followed episode, resolved unless it says otherwise."""
    one = peritonitis("E1", "2025-03-01", "2025-03-15", resolved=YES) | episode
    record = make_record(
        **{
            "pd_spells": [spell("2025-01-01")],
            "peritonitis": [one],
            "effluent_samples": [cells_met(0, "2025-03-01", culture="no_growth") | (sample or {})],
        }
        | tables
    )
    return estimates(record)


def said(found: dict, share: str) -> tuple[float, float, float]:
    """(unknown count, lowest, highest)"""
    count = found[f"{share}_unknown_count", "", "count"]["value"]
    return (count, *(found[f"{share}_{way}", "", METHOD]["value"] for way in ("lowest", "highest")))


KNOWN_YES, KNOWN_NO, UNKNOWN = (0, 1, 1), (0, 0, 0), (1, 0, 1)


@pytest.mark.parametrize(
    ("episode", "expected"),
    [
        ({}, KNOWN_YES),
        ({"resolved": NO}, KNOWN_NO),
        ({"resolved": -1}, UNKNOWN),
        ({"therapy_completed_on": -(2**31)}, UNKNOWN),
        ({"resolved": NO, "therapy_completed_on": -(2**31)}, KNOWN_NO),
    ],
)
def test_cure(episode: dict, expected: tuple):
    assert said(answers(episode), "medical_cure_share") == expected


def test_a_cure_before_an_undetermined_episode_is_not_sure():
    more = peritonitis("E2", "2025-03-25", "2025-04-10", resolved=NO)
    first = peritonitis("E1", "2025-03-01", "2025-03-15", resolved=YES)
    samples = [
        cells_met(0, "2025-03-01", culture="pending"),
        cells_met(1, "2025-03-25", culture="no_growth"),
    ]
    found = answers({}, peritonitis=[first, more], effluent_samples=samples)
    assert said(found, "medical_cure_share") == (1, 0, 0.5)
    assert said(found, "relapsing_share") == (1, 0, 0.5)


@pytest.mark.parametrize(("judged", "expected"), [(YES, KNOWN_YES), (NO, KNOWN_NO), (-1, UNKNOWN)])
def test_refractory(judged: int, expected: tuple):
    assert said(answers({"judged_refractory": judged}), "refractory_share") == expected


def catheter(**more: object) -> dict:
    return {"catheter": "C1", "inserted_on": "2024-12-01"} | more


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, KNOWN_NO),
        ({"removed_on": "2025-03-10", "removal_reason": "peritonitis"}, KNOWN_YES),
        ({"removed_on": "2025-03-10", "removal_reason": "mechanical"}, KNOWN_NO),
        ({"removed_on": "2025-03-10"}, UNKNOWN),
        ({"removed_on": "2025-05-10"}, KNOWN_NO),
    ],
)
def test_removal(more: dict, expected: tuple):
    assert said(answers({}, catheters=[catheter(**more)]), "catheter_removal_share") == expected


@pytest.mark.parametrize(
    ("reason", "expected"),
    [("temporary_haemodialysis", KNOWN_YES), ("travel", KNOWN_NO), (None, UNKNOWN)],
)
def test_transfer_by_a_pause(reason: str | None, expected: tuple):
    pause = {"started_on": "2025-03-05", "last_day_on": "2025-03-08", "reason": reason}
    assert said(answers({}, pd_pauses=[pause]), "haemodialysis_transfer_share") == expected


@pytest.mark.parametrize(
    ("reason", "transfer", "death"),
    [
        ("haemodialysis", KNOWN_YES, KNOWN_NO),
        (None, UNKNOWN, KNOWN_NO),
        ("death", KNOWN_NO, UNKNOWN),  # without a day of death
    ],
)
def test_transfer_and_death_by_the_end_of_a_spell(reason, transfer: tuple, death: tuple):
    found = answers({}, pd_spells=[spell("2025-01-01", "2025-03-10", end_reason=reason)])
    assert said(found, "haemodialysis_transfer_share") == transfer
    assert said(found, "death_share") == death


@pytest.mark.parametrize(
    ("admissions", "expected"),
    [
        ([], KNOWN_NO),
        ([{"admitted_on": "2025-03-02", "episode": 0}], KNOWN_YES),
        ([{"admitted_on": "2025-03-02", "episode": -1}], UNKNOWN),
        ([{"admitted_on": "2025-06-02", "episode": -1}], KNOWN_NO),
    ],
)
def test_admission(admissions: list[dict], expected: tuple):
    assert said(answers({}, admissions=admissions), "admission_share") == expected


@pytest.mark.parametrize(
    ("culture", "negative", "not_cultured"),
    [
        ("no_growth", KNOWN_YES, KNOWN_NO),
        ("not_taken", KNOWN_NO, KNOWN_YES),
        ("pending", UNKNOWN, (1, 0, 1)),
        (None, UNKNOWN, (1, 0, 1)),
        ("grown", KNOWN_NO, KNOWN_NO),
    ],
)
def test_culture(culture: str | None, negative: tuple, not_cultured: tuple):
    found = answers({}, {"culture": culture})
    assert said(found, "culture_negative_share") == negative
    assert said(found, "not_cultured_share") == not_cultured


def test_an_episode_not_followed_up_is_not_asked():
    found = answers({"onset_on": "2025-12-20", "therapy_completed_on": "2025-12-28"})
    count, lowest, highest = said(found, "refractory_share")
    assert (count, lowest, highest) == (0, None, None)
