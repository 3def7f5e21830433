"""One change to the base record, one finding; its nearest good neighbour has none."""

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from clinic.checks import CheckRow, Likeness, check_patient, same_person_pairs
from clinic.columns import SUBJECTS
from clinic.reading import read_cell
from tests.clinic.base_record import base, with_cells, with_row

LONDON = ZoneInfo("Europe/London")


def _read(name, column, text):
    own = {each.name: each for each in SUBJECTS[name]}
    return read_cell(own[column], text, LONDON) if column in own else text


def patient_rows(record):
    """The cells of the record's patient as check rows."""
    return {
        name: [CheckRow(name, {key: _read(name, key, text) for key, text in row.items()})
               for row in rows]
        for name, rows in record.items()
        if name != "clinics"
    }  # fmt: skip


def findings(record):
    return check_patient(patient_rows(record), LONDON)


def told(record, *, fault):
    return [(each.code, each.sentence) for each in findings(record) if each.fault is fault]


SUSCEPTIBILITY = {"episode": "E1", "sample": "S1", "agent": "cefazolin", "result": "S"}


# The keys are rows of bad_inputs.csv.
FAULTS = {
    "D04": (
        with_cells("peritonitis", onset_on="1961-05-13"),
        ("before_birth", "before birth (14 May 1961)"),
    ),
    "D06": (
        with_cells("patients", died_on="2025-03-30"),
        ("after_death", "(31 Mar 2025) is after died_on (30 Mar 2025); one of them is wrong"),
    ),
    "D07": (
        with_cells("catheters", removed_on="2024-01-09"),
        ("end_before_start", "before insertion (10 Jan 2024)"),
    ),
    "D08": (
        with_cells("pd_spells", last_day_on="2024-02-04"),
        ("end_before_start", "before its first day (5 Feb 2024)"),
    ),
    "D12": (
        with_cells("patients", birth_date="1900-01-01"),
        ("age", "age 124 at PD start (at most 110, setting); 1 Jan 1900 is often an empty"),
    ),
    "D17": (
        with_cells("peritonitis", therapy_completed_on="2025-03-09"),
        ("end_before_start", "before onset (10 Mar 2025)"),
    ),
    "D17 by arrival": (
        with_cells("peritonitis", onset_on="", therapy_completed_on="2025-03-09"),
        ("end_before_start", "before onset (10 Mar 2025)"),
    ),
    "F21": (
        with_row("isolates", episode="E1", sample="S9", organism="Escherichia coli"),
        ("without_parent", "effluent sample S9 is not in this folder and not in the record"),
    ),
    "L05": (
        with_cells("effluent_samples", culture="no_growth"),
        ("isolate_without_growth", "culture of sample S1 is no_growth, but organism"),
    ),
    "isolate of nothing": (
        with_cells("isolates", organism="No growth"),
        ("isolate_of_nothing", "no growth is no organism"),
    ),
    "L06": (
        with_row("susceptibilities", **SUSCEPTIBILITY, organism="Escherichia coli"),
        ("without_parent", "not an isolate of S1"),
    ),
    "L09": (
        with_cells("patients", died_on="2025-06-30")
        | {"pd_spells": with_row("pd_spells", started_on="2025-07-15")["pd_spells"]},
        ("after_death", "started_on of PD spell of 15 Jul 2025 (15 Jul 2025) is after died_on"),
    ),
    "no episode": (
        with_row("admissions", admitted_on="2025-03-11", episode="E9"),
        ("without_parent", "peritonitis episode E9"),
    ),
    "no onset": (
        with_row("peritonitis", episode="E2"),
        ("no_onset", "onset_on, presented_at or a sample's collected_at is needed"),
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_contradiction_is_a_fault(name):
    record, (code, said) = FAULTS[name]
    ((found, sentence),) = told(record, fault=True)
    assert found == code and said in sentence


CONTROLS = {
    "base": base(),
    "D06": with_cells("patients", died_on="2025-03-31"),
    "D07": with_cells("catheters", removed_on="2024-01-10"),
    "D08": with_cells("pd_spells", last_day_on="2024-02-05"),
    "D12": with_cells("patients", birth_date="1914-02-05"),
    "D17": with_cells("peritonitis", therapy_completed_on="2025-03-10"),
    "L06": with_row("susceptibilities", **SUSCEPTIBILITY, organism="S. aureus"),
    "onset by the sample alone": with_cells("peritonitis", onset_on="", presented_at=""),
}


@pytest.mark.parametrize("name", CONTROLS)
def test_the_nearest_good_record_has_no_fault(name):
    assert told(CONTROLS[name], fault=True) == []


def test_the_base_record_has_no_warning():
    assert told(base(), fault=False) == []


SECOND_EPISODE = {"episode": "E2", "cloudy_effluent": "yes"}

WARNINGS = {
    "D16": (
        with_cells("peritonitis", first_antibiotic_at="2025-03-10T09:00"),
        ("before_arrival", "before arrival"),
    ),
    "N02": (
        with_cells("effluent_samples", leucocytes_per_ul="2"),
        ("cells_low_but_cloudy", "very low beside a cloudy bag; 2 x10^9/L would be 2000 per uL"),
    ),
    "L01": (
        with_row("pd_spells", started_on="2024-06-15", modality="apd"),
        ("spells_overlap", "all days from then on overlap the spell of 5 Feb 2024"),
    ),
    "L02": (with_row("catheters", catheter="C2", inserted_on="2025-04-02"),
            ("two_catheters", "C1 still in?")),
    "L03": (with_row("peritonitis", episode="E0", onset_on="2024-01-20",
                     therapy_completed_on="2024-01-30"),
            ("off_risk", "not counted: not on PD that day (before the first PD day)")),
    "L04": (base() | {"isolates": []}, ("grown_without_isolate", "grown, not yet named")),
    "L08": (with_cells("catheters", inserted_on="2024-01-04"),
            ("history_elsewhere", "earlier history not known here")),
    "L10": (with_cells("patients", died_on="2025-06-30"),
            ("spell_open_after_death", "ends with 30 Jun 2025 (that day counts); end the spell")),
    "L15 gap 0": (with_row("peritonitis", **SECOND_EPISODE, onset_on="2025-03-31"),
                  ("same_episode", "same episode as E1 (last dose 31 Mar 2025)")),
    "pending": (with_cells("effluent_samples", culture="pending"),
                ("isolate_while_pending", "Staphylococcus aureus is named")),
    "reason": (with_cells("pd_spells", end_reason="moved"),
               ("reason_without_day", "end_reason moved is given, but no last_day_on")),
}  # fmt: skip


@pytest.mark.parametrize("name", WARNINGS)
def test_a_doubt_is_a_warning(name):
    record, (code, said) = WARNINGS[name]
    ((found, sentence),) = told(record, fault=False)
    assert found == code and said in sentence and told(record, fault=True) == []


def test_an_overlap_is_counted_in_days():
    record = with_row("pd_spells", started_on="2024-06-15")
    record["pd_spells"][0]["last_day_on"] = "2024-06-30"
    ((_, sentence),) = told(record, fault=False)
    assert sentence.startswith("16 days overlap")


def test_a_chain_with_an_unknown_end_is_undetermined():
    record = with_row("peritonitis", **SECOND_EPISODE, onset_on="2025-04-20")
    record["peritonitis"][0]["therapy_completed_on"] = ""
    assert [code for code, _ in told(record, fault=False)] == ["sequence_undetermined"]


def test_a_stopping_pause_takes_an_episode_off_risk():
    pause = {"started_on": "2025-03-09", "last_day_on": "2025-03-11", "reason": "catheter_rest"}
    ((code, sentence),) = told(with_row("pd_pauses", **pause), fault=False)
    assert code == "off_risk" and "PD was paused" in sentence


def test_a_travel_pause_changes_nothing():
    pause = {"started_on": "2025-03-09", "last_day_on": "2025-03-11", "reason": "travel"}
    assert findings(with_row("pd_pauses", **pause)) == []


def _only_changed(rows, *subjects):
    for name, subject_rows in rows.items():
        for row in subject_rows:
            row.changed = name in subjects
    return rows


def test_a_later_birth_names_every_record_before_it():  # D05
    rows = patient_rows(with_cells("patients", birth_date="2024-03-01"))
    (found,) = check_patient(_only_changed(rows, "patients"), LONDON)
    assert found.sentence.startswith("later than 4 records of this patient")
    assert found.marks[0].field == "birth_date" and len(found.marks) == 5


def test_what_concerns_stored_rows_alone_is_not_told_again():
    rows = patient_rows(with_cells("effluent_samples", leucocytes_per_ul="2"))
    assert check_patient(_only_changed(rows, "trainings"), LONDON) == []


def _like(patient, start, last=None, sex="female"):
    return Likeness(patient, date(1961, 5, 14), sex, ((start, last),))


@pytest.mark.parametrize(
    ("other", "pairs"),
    [
        (_like("P131", date(2025, 1, 1)), 1),
        (_like("P131", date(2023, 1, 1), date(2024, 2, 4)), 0),
        (_like("P131", date(2025, 1, 1), sex="male"), 0),
    ],
)
def test_two_numbers_may_be_one_person(other, pairs):  # I03
    assert len(list(same_person_pairs([_like("P031", date(2024, 2, 5)), other]))) == pairs
