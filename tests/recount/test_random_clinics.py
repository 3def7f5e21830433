"""The random clinics obey the record's rules and reach every value of every category."""

from collections import defaultdict
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.recount.bands import SPLITS
from tests.recount.measures import CLASSES
from tests.recount.random_clinics import random_question, random_record
from tests.recount.record_files import organism_rows
from tests.recount.recount import recount
from tests.recount.seen import Rows, local_moment

SEEDS = range(200)

VALUES = {
    "kind": "peritonitis exit_site tunnel",
    "clinical_criterion": "met not_met not_assessable",
    "cell_criterion": "met not_met not_assessable",
    "culture_criterion": "met not_met not_assessable",
    "confirmed": "confirmed not_confirmed unconfirmed",
    "culture_group": "positive culture_pending culture_negative not_cultured",
    "timing": "pre_pd pd_associated",
    "insertion_related": "yes no unknown",
    "sequence": "new relapsing recurrent repeat same_episode undetermined",
    "catheter_related": "yes no",
    "medical_cure": "yes no",
    "refractory": "yes no not_assessable",
    "catheter_removed": "yes no",
    "haemodialysis_transfer": "yes no",
    "died": "yes no",
    "admitted": "yes no",
    "counts": "yes no",
    "reason": (
        "counted_new counted_recurrent counted_repeat counted_undetermined "
        "counted_relapse_of_uncounted not_counted_unconfirmed not_counted_not_confirmed "
        "not_counted_same_episode not_counted_before_pd not_counted_paused "
        "not_counted_before_training not_counted_after_pd not_counted_relapse"
    ),
    "verdict": "meets misses meets_uncertain misses_uncertain no_data",
    "state": "at_risk off_risk",
}
CLOCK = {"0-90", "91-181", "182-364", "365-729", "730+"}
BANDS = {
    **{split: CLOCK | {"none_recorded"} for split in SPLITS if split.startswith("time_since_")},
    "time_on_pd": CLOCK,
    "catheter_age": CLOCK - {"0-90"} | {"0-30", "31-90", "none_recorded"},
    "insertion_method": {
        "open",
        "laparoscopic",
        "percutaneous",
        "other",
        "unknown",
        "none_recorded",
    },
    "modality": {"capd", "apd", "unknown"},
    "assistance": {"self", "family", "nurse", "unknown"},
    "trainer": {"T-01", "T-02", "Zoë", "unknown", "none_recorded"},
    "first_trainer": {"T-01", "T-02", "Zoë", "unknown", "none_recorded"},
}


def values_found() -> dict[str, set[object]]:
    """Every value of every column, and the bands with a counted peritonitis, over all seeds."""
    found: dict[str, set[object]] = defaultdict(set)
    catalogue = organism_rows()
    for seed in SEEDS:
        rows = random_record(seed)
        asked = random_question(seed, rows)
        result = recount(rows, catalogue, asked.rule_set, asked.as_of, asked.through)
        for row in [*result["cases"], *result["ledger"], *result["measures"]]:
            for name, value in row.items():
                found[name].add(value)
            if row.get("measure") == "peritonitis_rate" and row["numerator"]:
                found[row["split"]].add(row["band"])
    return found


def test_every_value_of_every_category_occurs() -> None:
    """One test, so that the seeds are counted once; what is missing stands in the message."""
    found = values_found()
    wanted = {field: set(words.split()) for field, words in VALUES.items()}
    wanted |= {**BANDS, "organism_group": set(CLASSES)}
    missing = {field: values - found[field] for field, values in wanted.items()}
    assert {field: values for field, values in missing.items() if values} == {}


def days_of(rows: Rows, clinic: str, patient: str) -> list[date]:
    """Every day on which something is said to have happened to a patient."""
    zone = next(ZoneInfo(r["time_zone"]) for r in rows["clinics"] if r["clinic"] == clinic)
    own = [
        row
        for file in rows.values()
        for row in file
        if (row.get("clinic"), row.get("patient")) == (clinic, patient)
    ]
    plain = [
        date.fromisoformat(text)
        for row in own
        for name, text in row.items()
        if name.endswith("_on") and text
    ]
    moments = [
        local_moment(text, zone).date()
        for row in own
        for name, text in row.items()
        if name.endswith("_at") and text
    ]
    return plain + moments


@pytest.mark.parametrize("seed", range(40))
def test_nothing_happens_before_birth_or_after_death(seed: int) -> None:
    rows = random_record(seed)
    for patient in rows["patients"]:
        happened = days_of(rows, patient["clinic"], patient["patient"])
        if patient["birth_date"]:
            assert date.fromisoformat(patient["birth_date"]) <= min(happened, default=date.max)
        if patient["died_on"]:
            assert max(happened) == date.fromisoformat(patient["died_on"])


FIRST_AND_LAST = {
    "pd_spells": ("started_on", "last_day_on"),
    "pd_pauses": ("started_on", "last_day_on"),
    "catheters": ("inserted_on", "removed_on"),
    "trainings": ("started_on", "completed_on"),
    "catheter_infections": ("onset_on", "therapy_completed_on"),
    "admissions": ("admitted_on", "discharged_on"),
}
KEYS = {
    "patients": "",
    "pd_spells": "started_on",
    "pd_pauses": "started_on",
    "catheters": "catheter",
    "trainings": "completed_on kind trainer",
    "peritonitis": "episode",
    "effluent_samples": "episode sample",
    "isolates": "episode sample organism",
    "susceptibilities": "episode sample organism agent",
    "catheter_infections": "infection",
    "admissions": "admitted_on",
    "contaminations": "happened_at",
}


@pytest.mark.parametrize("seed", range(40))
def test_no_last_day_lies_before_its_first_and_no_key_comes_twice(seed: int) -> None:
    rows = random_record(seed)
    for file, (first, last) in FIRST_AND_LAST.items():
        assert all(not row[last] or row[first] <= row[last] for row in rows[file]), file
    for file, names in KEYS.items():
        keys = [
            tuple(row[name] for name in ("clinic", "patient", *names.split())) for row in rows[file]
        ]
        assert len(keys) == len(set(keys)), file


def test_seeds_repeat_and_looking_back_hides_facts() -> None:
    assert random_record(7) == random_record(7)
    asked = [random_question(seed, random_record(seed)) for seed in range(20)]
    assert any(
        one.as_of < max(days_in_record(seed)) - timedelta(days=30) for seed, one in enumerate(asked)
    )


def days_in_record(seed: int) -> list[date]:
    rows = random_record(seed)
    return [day for p in rows["patients"] for day in days_of(rows, p["clinic"], p["patient"])] or [
        date.min
    ]
