"""The round trip: what is exported and loaded again is the same record, and the same bytes."""

from random import Random

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from clinic.actions.subjects import withdraw
from clinic.columns import SUBJECTS
from clinic.models import MODELS, Admission, Clinic, Peritonitis
from tests.clinic.base_record import base, with_row
from tests.clinic.imports.folders import run, write_folder
from tests.factories import make_grant, make_person
from tests.recount.random_clinics import build_record
from tests.recount.record_files import write_folder as write_random_folder

pytestmark = pytest.mark.django_db

# Optional files are written only for rows that exist: those of the source have none of them.
DESIGN_4 = [name for name, subject in SUBJECTS.items() if not subject.optional]
NOT_OF_THE_RECORD = {"id", "uid", "recorded_at", "hand_columns"}


class TakenBack(Exception):
    """Ends a block whose writes shall not last."""


def record_values():
    """Every value of the record, without what the database numbers or dates itself."""
    return {
        name: sorted(
            str({key: value for key, value in row.items() if not _is_own(key)})
            for row in model.objects.values()
        )
        for name, model in MODELS.items()
    }


def _is_own(name):
    return name in NOT_OF_THE_RECORD or name.endswith("_id")


def export(folder, *options):
    call_command("export_records", str(folder), *options, verbosity=0)
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def loaded_and_exported(source, target):
    """What the folder makes in an empty record: its values, its export; then all is taken back."""
    try:
        with transaction.atomic():
            loaded = run(source)
            assert loaded.exit_code == 0, loaded.err
            found = record_values(), export(target)
            raise TakenBack
    except TakenBack:
        assert not Clinic.objects.exists()
        return found


def nasty_record():
    """Odd text, moments in the hour that came twice, small numbers, every subject."""
    record = base()
    whose = {"clinic": "TQ", "patient": "P031"}
    sample = whose | {"episode": "E1", "sample": "S1"}
    record["trainings"][0] |= {"trainer": 'Zo\u00eb, "T"', "hours": "0.0001", "competent": "yes"}
    record["effluent_samples"][0] |= {"collected_at": "2025-10-26T01:30:15.25+00:00"}
    record["isolates"] += [
        sample | {"organism": text}
        for text in ("\r=1", 'said "wet"\nthen went home', "blue  ROD", "ok \U0001f637")
    ]
    record["susceptibilities"] = [
        sample | {"organism": "S. aureus", "agent": "cefazolin", "result": "S"}
    ]
    record["pd_pauses"] = [whose | {"started_on": "2025-03-29", "reason": "travel"}]
    record["catheter_infections"] = [
        whose | {"infection": "X1", "site": "both", "onset_on": "2025-06-01"}
    ]
    record["admissions"] = [whose | {"admitted_on": "2025-03-10", "episode": "E1"}]
    record["contaminations"] = [whose | {"happened_at": "2025-10-26T01:30+01:00", "kind": "wet"}]
    return record


def nursing_record():
    """The base record with a call, a therapy, a review, and one optional column filled."""
    record = base()
    whose = {"clinic": "TQ", "patient": "P031", "episode": "E1"}
    record["effluent_samples"][0] |= {"volume_ml": "50"}
    record["peritonitis"][0] |= {"note": "two lines,\nsaid \u202eso", "closed_as": "undecided"}
    record["peritonitis"][0] |= {"closed_because": "Moved before the count"}
    record["calls"] = [
        whose
        | {
            "called_at": "2025-03-10T08:10",
            "happened": "bowel; touched",
            "expected_at": "2031-01-01T10:00",
        }
    ]
    record["therapies"] = [
        whose
        | {"agent": agent, "first_dose_on": "2025-03-10", "planned_last_dose_on": "2031-01-01"}
        for agent in ("cefazolin", "ceftazidime")
    ]
    record["root_cause_reviews"] = [
        whose | {"reviewed_on": "2025-03-20", "factors": "mood", "due_on": "2031-01-01"}
    ]
    record["technique_observations"] = [
        {
            "clinic": "TQ",
            "patient": "P031",
            "observed_on": "2025-03-20",
            "observer": "T-01",
            "filled": "done",
        }
    ]
    return record


@pytest.fixture(params=["nasty", "random 7", "random 8"])
def folder(request, tmp_path):
    source = tmp_path / "source"
    if request.param == "nasty":
        return write_folder(source, nasty_record())
    source.mkdir()
    write_random_folder(build_record(Random(int(request.param[-1])), 3), source)
    return source


def test_an_export_loads_as_the_same_record_and_exports_as_the_same_bytes(folder, tmp_path):
    values, first = loaded_and_exported(folder, tmp_path / "first")
    values_again, second = loaded_and_exported(tmp_path / "first", tmp_path / "second")
    assert values == values_again and any(values.values())
    assert first == second and set(first) == {f"{name}.csv" for name in DESIGN_4}


def test_what_the_nurse_keeps_beside_makes_the_round_trip_too(tmp_path):
    values, first = loaded_and_exported(
        write_folder(tmp_path / "source", nursing_record()), tmp_path / "first"
    )
    values_again, second = loaded_and_exported(tmp_path / "first", tmp_path / "second")
    assert values == values_again and first == second
    assert first["calls.csv"].startswith(b"clinic,patient,episode,called_at,caller,")
    assert b"touched;bowel" in first["calls.csv"] and "exit_site_checks.csv" not in first
    header = first["effluent_samples.csv"].partition(b"\n")[0]
    assert b"volume_ml" in header and b"gram_stain" not in header


def test_an_export_loaded_into_its_own_record_brings_nothing_new(tmp_path):
    run(write_folder(tmp_path / "source", nasty_record()))
    export(tmp_path / "out")
    again = run(tmp_path / "out")
    assert again.exit_code == 0 and again.out.startswith("nothing new")


def test_moments_carry_their_offset(tmp_path):
    run(write_folder(tmp_path / "source", nasty_record()))
    files = export(tmp_path / "out")
    assert b"2025-10-26T01:30:15.250000+00:00" in files["effluent_samples.csv"]
    assert b"2025-10-26T01:30+01:00" in files["contaminations.csv"]


def test_withdrawn_rows_are_left_out_and_what_names_them_still_loads(tmp_path):
    record = with_row("admissions", admitted_on="2025-03-10", episode="E1")
    run(write_folder(tmp_path / "source", record))
    manager = make_person("teasel")
    make_grant(manager, "data_manager", Clinic.objects.get(code="TQ"))
    make_grant(manager, "nurse", Clinic.objects.get(code="TQ"))
    withdraw(Peritonitis.objects.get(), by=manager, version=1, reason="Another patient's episode.")
    files = export(tmp_path / "out")
    assert files["peritonitis.csv"].count(b"\n") == files["isolates.csv"].count(b"\n") == 1
    assert files["admissions.csv"].endswith(b"TQ,P031,2025-03-10,,\n")
    assert run(tmp_path / "out").exit_code == 0 and Admission.objects.count() == 1


def test_one_clinic_alone_can_be_written(tmp_path):
    run(write_folder(tmp_path / "source", base()))
    files = export(tmp_path / "out", "--clinic", "SM")
    assert files["clinics.csv"].count(b"\n") == 2 and files["patients.csv"].count(b"\n") == 1


@pytest.mark.parametrize("options", [("--clinic", "XX"), ()], ids=["no clinic", "folder in use"])
def test_a_wrong_call_writes_nothing(options, tmp_path, db):
    target = tmp_path / "out"
    target.mkdir()
    if not options:
        (target / "notes.txt").write_text("mine")
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(CommandError) as refused:
        export(target, *options)
    assert refused.value.returncode == 2 and sorted(tmp_path.rglob("*")) == before


def test_a_failed_export_leaves_nothing_behind(tmp_path, monkeypatch):
    def no_room(*_):
        raise OSError(28, "No space left on device")

    run(write_folder(tmp_path / "source", base()))
    monkeypatch.setattr("clinic.imports.export.os.fsync", no_room)
    with pytest.raises(CommandError) as failed:
        export(tmp_path / "out")
    assert failed.value.returncode == 3 and [path.name for path in tmp_path.iterdir()] == ["source"]
