"""Files as they come: other line ends and marks are read, other formats are refused by name."""

import os

import pytest

from clinic.models import Patient, Training
from tests.clinic.base_record import base, with_cells, with_row
from tests.clinic.imports.folders import run, stored_counts, write_folder

pytestmark = pytest.mark.django_db

PATIENTS = "clinic,patient,birth_date,sex,diabetes,died_on\nTQ,P031,1961-05-14,female,,\n"
EPISODES = (
    "clinic,patient,episode,onset_on,presented_at,cloudy_effluent,abdominal_pain,"
    "first_antibiotic_at,appropriate_antibiotic_at,therapy_completed_on,judged_source,"
    "judged_refractory,found_by,resolved\n"
)
TRAININGS = "clinic,patient,completed_on,kind,trainer\n"


@pytest.fixture
def folder(tmp_path):
    """The base record; a test then replaces one file."""
    return write_folder(tmp_path / "records", base())


def replaced(folder, name, content):
    data = content if isinstance(content, bytes) else content.encode()
    (folder / name).write_bytes(data)
    return run(folder)


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"\xef\xbb\xbf" + PATIENTS.encode(), id="F01"),
        pytest.param(PATIENTS.replace("\n", "\r\n"), id="F05 CRLF"),
        pytest.param(PATIENTS.replace("\n", "\r"), id="F05 CR"),
        pytest.param(PATIENTS.replace("\n", "\r\n", 1), id="F05 mixed"),
        pytest.param(PATIENTS.rstrip("\n"), id="F05 no last end"),
        pytest.param(PATIENTS + "\n\r\n  \n,,,,,\n", id="F05 blank lines"),
    ],
)
def test_every_usual_way_to_end_a_line_is_read(content, folder):
    loaded = replaced(folder, "patients.csv", content)
    assert (loaded.exit_code, loaded.err) == (0, "")
    patient = Patient.objects.get()
    assert (patient.number, patient.sex, patient.diabetes) == ("P031", "female", "")


WHOLE_FILE = {
    "F02": (PATIENTS.encode("utf-16"), "UTF-16; save as CSV UTF-8"),
    "F02 without mark": (PATIENTS.encode("utf-16-le"), "UTF-16 without its mark"),
    "F04": (PATIENTS.replace(",", ";"), "separated by ; and not by comma"),
    "F04 tab": (PATIENTS.replace(",", "\t"), "separated by tab and not by comma"),
    "F07 missing": (PATIENTS.replace("patient", "number"), "column patient missing"),
    "F08": ("", "no header row"),
    "F08 blank": ("\n\n", "no header row"),
    "F13": (b"PK\x03\x04" + bytes(200), "a spreadsheet workbook; export it as CSV UTF-8"),
    "quotes": (PATIENTS + 'TQ,"P032,1961-05-14\n', "a quote that is not closed"),
}


@pytest.mark.parametrize("name", WHOLE_FILE)
def test_a_file_of_another_kind_is_refused_by_name(name, folder):
    content, said = WHOLE_FILE[name]
    refused = replaced(folder, "patients.csv", content)
    assert refused.exit_code == 1 and stored_counts() == {}
    told = [fault for fault in refused.faults if said in fault]
    assert len(told) == 1 and told[0].startswith("patients.csv - ")
    # What hangs on the unread file is not called an orphan as well.
    assert all(fault.startswith("patients.csv") for fault in refused.faults)


def test_f07_unknown_and_double_columns_are_told_once(folder):
    content = EPISODES.replace("presented_at", "onset_on").replace("resolved", "onset_date")
    refused = replaced(folder, "peritonitis.csv", content + "TQ,P031,E1" + "," * 11 + "\n")
    assert [fault.partition("; allowed")[0] for fault in refused.faults] == [
        "peritonitis.csv - onset_date is not known, did you mean onset_on",
        "peritonitis.csv - onset_on appears twice",
    ]


def test_f03_a_byte_of_another_encoding_is_told_at_its_cell(folder):
    rows = "".join(f"TQ,P031,2024-03-{day:02d},scheduled,T-01\n" for day in range(1, 13))
    content = (TRAININGS + rows + "TQ,P031,2024-04-01,scheduled,").encode() + b"Ren\xe9\n"
    (fault,) = replaced(folder, "trainings.csv", content).faults
    assert fault.startswith("trainings.csv row 13 (line 14), trainer: Ren\\xe9 - byte E9 is not")


def test_f08_a_header_alone_changes_nothing(folder):
    assert run(folder).exit_code == 0
    again = replaced(folder, "trainings.csv", TRAININGS)
    assert again.exit_code == 0 and again.out.startswith("nothing new")
    assert Training.objects.count() == 1


def test_f08_a_folder_without_record_files_lists_their_names(tmp_path):
    (tmp_path / "notes.txt").write_text("no record")
    refused = run(tmp_path)
    assert refused.exit_code == 1
    assert "none of the record files found; allowed: clinics.csv, patients.csv" in refused.err


def test_f12_a_link_is_not_followed(folder, tmp_path):
    secret = tmp_path / "secret"
    secret.write_text("clinic,patient\nTQ,hidden words\n")
    (folder / "patients.csv").unlink()
    (folder / "patients.csv").symlink_to(secret)
    refused = run(folder)
    assert refused.faults == ["patients.csv - patients.csv is a link; copy the file itself"]
    assert "hidden words" not in refused.err


def test_a_file_that_is_no_file_is_refused(folder):
    (folder / "patients.csv").unlink()
    os.mkfifo(folder / "patients.csv")
    assert run(folder).faults == ["patients.csv - not an ordinary file"]


def test_f14_a_cut_off_last_row_is_told(folder):
    content = EPISODES + "TQ,P031,E1,2025-03-10" + "," * 10 + "\nTQ,P031,E2,2025-03-"
    (fault,) = replaced(folder, "peritonitis.csv", content).faults
    assert fault == "peritonitis.csv row 2 (line 3) - has 4 cells of 14, the file seems cut off"


def test_f15_a_row_with_too_many_cells_is_told(folder):
    content = EPISODES + "TQ,P031,E1,2025-03-10" + "," * 8 + ",Ward 3, bed 2,yes\n"
    (fault,) = replaced(folder, "peritonitis.csv", content).faults
    assert fault == (
        "peritonitis.csv row 1 (line 2) - 15 cells, 14 columns; quote text that holds a comma"
    )


def test_f09_a_folder_beyond_the_limit_is_refused_at_the_start(folder, monkeypatch):
    monkeypatch.setattr("clinic.imports.folder.LARGEST_FOLDER_BYTES", 100)
    (fault,) = run(folder).faults
    assert "loaded at once (setting): load it in parts" in fault


def test_a_misspelt_file_name_is_told(folder):
    (folder / "admision.csv").write_text("clinic,patient,admitted_on\n")
    loaded = run(folder)
    assert loaded.exit_code == 0
    assert "admision.csv - not a record file, not read; did you mean admissions.csv" in loaded.err


def test_a_clinic_that_nobody_knows_is_told_once_a_file(folder):
    rows = "QQ,P1,1961-05-14,female,,\nQQ,P2,,,,\n"
    (fault,) = replaced(folder, "patients.csv", PATIENTS + rows).faults
    assert fault.startswith("patients.csv row 2 (line 3), clinic: QQ - clinic not in this folder")


@pytest.mark.parametrize(
    ("code", "said"), [(b"T\xe9", "byte E9 is not UTF-8"), (b"T\x00Q", "contains a null character")]
)
def test_a_clinic_cell_that_is_no_name_is_told(code, said, folder):
    (fault,) = replaced(folder, "patients.csv", PATIENTS.encode() + code + b",P2,,,,\n").faults
    assert fault.startswith("patients.csv row 2 (line 3), clinic: ") and said in fault


def test_a_clinic_twice_names_both_rows(folder):
    content = "clinic,name,time_zone\n" + "TQ,Tern Quay,Europe/London\n" * 2
    (fault,) = replaced(folder, "clinics.csv", content).faults
    assert "row 2 (line 3), clinic: TQ - the same clinic TQ as row 1 (line 2)" in fault


def test_a_patient_that_nobody_knows_is_told(tmp_path):
    record = with_row("admissions", patient="P999", admitted_on="2025-05-01")
    (fault,) = run(write_folder(tmp_path, record)).faults
    assert fault.startswith("admissions.csv row 1 (line 2), patient: P999 - patient not in this")


def test_a_bad_cell_is_not_followed_by_faults_that_it_explains(tmp_path):
    record = with_cells("peritonitis", onset_on="2025-02-30", presented_at="")
    record["effluent_samples"][0]["collected_at"] = ""
    (fault,) = run(write_folder(tmp_path, record)).faults
    assert "30 February 2025" in fault
