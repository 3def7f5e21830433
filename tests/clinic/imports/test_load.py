"""A folder is loaded whole or not at all, and loading it again changes nothing."""

import json
from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, OperationalError

from clinic.actions.audit import first_broken_event, host_actor
from clinic.actions.subjects import amend, withdraw
from clinic.imports.folder import read_folder
from clinic.imports.load import load
from clinic.models import (
    Admission,
    AuditChain,
    AuditEvent,
    Clinic,
    EffluentSample,
    Isolate,
    Patient,
    Peritonitis,
)
from tests.clinic.base_record import base, with_cells, with_row, without
from tests.clinic.imports.folders import run, stored_counts, whole_database, write_folder
from tests.factories import make_grant, make_person

pytestmark = pytest.mark.django_db

REASON = "Copied from the wrong line."


@pytest.fixture
def loaded(tmp_path):
    """The base record, loaded from the folder that is returned."""
    folder = write_folder(tmp_path / "first", base())
    assert run(folder).exit_code == 0
    return folder


@pytest.fixture
def nurse(loaded):
    """A nurse of the clinic that was loaded."""
    person = make_person("bramble", name="Nurse Bramble")
    make_grant(person, "nurse", Clinic.objects.get(code="TQ"))
    make_grant(person, "data_manager", Clinic.objects.get(code="TQ"))
    return person


def second(tmp_path, record, *options):
    return run(write_folder(tmp_path / "second", record), *options)


def test_every_row_of_the_folder_is_stored(loaded):
    assert stored_counts() == {"clinics": 3} | dict.fromkeys(list(base())[1:], 1)
    sample = EffluentSample.objects.get()
    assert sample.collected_at == datetime(2025, 3, 10, 10, 15, tzinfo=UTC)
    assert (sample.dwell_hours, sample.leucocytes_per_ul, sample.appearance) == (4.0, 2300, "")
    assert sample.peritonitis.patient.clinic.code == "TQ" and sample.version == 1
    assert Peritonitis.objects.get().therapy_completed_on == date(2025, 3, 31)


def test_a_load_is_one_event_a_clinic_with_counts_and_digests(loaded):
    event = AuditEvent.objects.get(chain__clinic__code="TQ")
    assert event.verb == "load" and event.changes["added"]["peritonitis"] == 1
    assert set(event.changes["sha256"]) == {f"{name}.csv" for name in base()}
    assert AuditEvent.objects.count() == 3
    assert [first_broken_event(chain) for chain in AuditChain.objects.all()] == [None] * 3


def test_the_same_folder_twice_changes_nothing(loaded):  # F17
    before = whole_database()
    again = run(loaded)
    assert again.exit_code == 0 and again.out.startswith("nothing new in 10 rows")
    assert whole_database() == before and again.err == ""


def test_a_check_stores_nothing_and_says_what_would_be(tmp_path):
    checked = run(write_folder(tmp_path, base()), "--check")
    assert checked.exit_code == 0 and "would be added: 3 clinics, 1 patients" in checked.out
    assert stored_counts() == {} and not AuditEvent.objects.exists()


def test_a_folder_may_hold_some_files_only(loaded, tmp_path):
    record = {
        "admissions": with_row("admissions", admitted_on="2025-03-10", episode="E1")["admissions"]
    }
    assert second(tmp_path, record).exit_code == 0
    assert Admission.objects.get().peritonitis == Peritonitis.objects.get()


def test_other_patients_stay_as_they_are(loaded, tmp_path):
    record = {"patients": [{"clinic": "TQ", "patient": "P090", "sex": "male"}]}
    before = Patient.objects.values().get()
    assert second(tmp_path, record).exit_code == 0
    assert Patient.objects.values().get(number="P031") == before and Patient.objects.count() == 2


def test_a_changed_cell_is_told_and_is_an_event(loaded, tmp_path):  # F16
    changed = second(tmp_path, with_cells("patients", sex="male"))
    assert "changed: P031 sex female -> male" in changed.out and changed.exit_code == 0
    patient = Patient.objects.get()
    assert (patient.sex, patient.version) == ("male", 2)
    event = AuditEvent.objects.get(verb="amend")
    assert event.changes == {"sex": ["female", "male"]} and event.patient_uid == patient.uid


def test_a_check_tells_the_same_changes(loaded, tmp_path):  # F16
    checked = second(tmp_path, with_cells("patients", sex="male"), "--check")
    assert "changed: P031 sex female -> male" in checked.out
    assert Patient.objects.get().sex == "female"


def test_what_a_person_wrote_is_not_overwritten(loaded, tmp_path, nurse):  # F16
    amend(Patient.objects.get(), by=nurse, version=1, values={"sex": "other"}, reason=REASON)
    refused = second(tmp_path, with_cells("patients", sex="male"))
    assert refused.exit_code == 1 and Patient.objects.get().sex == "other"
    (fault,) = refused.faults
    assert "the record has other, written by Nurse Bramble on" in fault and "has male" in fault


def test_an_empty_cell_keeps_the_value(loaded, tmp_path):  # F20
    kept = second(tmp_path, with_cells("peritonitis", therapy_completed_on=""))
    assert "kept: 1 value" in kept.out and kept.out.startswith("nothing new")
    assert Peritonitis.objects.get().therapy_completed_on == date(2025, 3, 31)


def test_a_withdrawn_row_stays_withdrawn(loaded, nurse):
    withdraw(Peritonitis.objects.get(), by=nurse, version=1, reason=REASON)
    again = run(loaded)
    assert again.exit_code == 0 and "left withdrawn: 3 rows" in again.out
    assert not Isolate.objects.filter(withdrawn_at=None).exists()
    assert Isolate.objects.count() == EffluentSample.objects.count() == 1


def test_an_admission_for_a_withdrawn_episode_still_loads(loaded, tmp_path, nurse):
    withdraw(Peritonitis.objects.get(), by=nurse, version=1, reason=REASON)
    loaded_again = second(tmp_path, with_row("admissions", admitted_on="2025-03-10", episode="E1"))
    assert loaded_again.exit_code == 0 and Admission.objects.get().peritonitis is None


def test_an_admission_can_still_change_when_its_episode_is_withdrawn(tmp_path, nurse):
    admission = {"admitted_on": "2025-03-10", "episode": "E1", "discharged_on": ""}
    second(tmp_path, with_row("admissions", **admission))
    withdraw(Peritonitis.objects.get(), by=nurse, version=1, reason=REASON)
    later = with_row("admissions", **admission | {"discharged_on": "2025-03-14"})
    assert second(tmp_path, later).exit_code == 0
    assert Admission.objects.get().discharged_on == date(2025, 3, 14)


def test_the_order_of_rows_and_columns_does_not_matter(tmp_path):
    record = with_row("isolates", episode="E1", sample="S1", organism="Escherichia coli")
    record["isolates"].reverse()
    record["peritonitis"] = [dict(reversed(row.items())) for row in record["peritonitis"]]
    assert run(write_folder(tmp_path, record)).exit_code == 0
    assert Isolate.objects.count() == 2


def test_one_fault_anywhere_stores_nothing(tmp_path):
    record = with_cells("isolates", sample="S9")
    refused = run(write_folder(tmp_path, record))
    assert refused.exit_code == 1 and stored_counts() == {} and not AuditEvent.objects.exists()


def test_the_outcome_can_be_read_as_json(tmp_path):
    outcome = json.loads(run(write_folder(tmp_path, with_cells("patients", sex="F")), "--json").out)
    (fault,) = outcome["faults"]
    assert outcome["stored"] is False and outcome["sha256"]["patients.csv"]
    assert (fault["file"], fault["row"], fault["line"]) == ("patients.csv", 1, 2)
    assert (fault["column"], fault["value"], fault["code"]) == ("sex", "F", "choice")


def test_a_folder_that_is_none_is_a_wrong_call(tmp_path):
    assert run(tmp_path / "nowhere").exit_code == 2


def test_a_file_that_changes_while_it_is_read_stores_nothing(tmp_path):  # F18
    folder = write_folder(tmp_path, base())
    source = read_folder(folder)
    with (folder / "peritonitis.csv").open("a", encoding="utf-8") as file:
        file.write("TQ,P031,E2,2025-05-01\n")
    outcome = load(source, by=host_actor())
    assert [str(fault) for fault in outcome.faults] == [
        "peritonitis.csv - changed while it was read, try again"
    ]
    assert stored_counts() == {}


def test_a_clinic_needs_no_row_once_it_is_stored(loaded, tmp_path):
    record = without("clinics")
    record["patients"].append({"clinic": "SM", "patient": "P031", "birth_date": "1950-01-01"})
    assert second(tmp_path, record).exit_code == 0  # I02: the same number, another patient
    assert Patient.objects.filter(number="P031").count() == 2


@pytest.mark.parametrize("error", [OperationalError("database is locked"), IntegrityError("twin")])
def test_a_fault_of_the_machine_asks_to_try_again(error, tmp_path, monkeypatch):
    def failing(*_, **__):
        raise error

    monkeypatch.setattr("clinic.management.commands.import_records.load", failing)
    assert run(write_folder(tmp_path, base())).exit_code == 3


def test_a_large_load_refreshes_the_statistics_in_its_own_transaction(tmp_path, monkeypatch):
    monkeypatch.setattr("clinic.imports.load.LARGE_LOAD_ROWS", 1)
    assert run(write_folder(tmp_path, base())).exit_code == 0
    assert Isolate.objects.count() == 1
