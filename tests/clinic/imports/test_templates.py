"""Empty files that load as they are, and a dictionary of every column in them."""

import csv

import pytest
from django.core.management import CommandError, call_command

from clinic.columns import SUBJECTS, file_columns
from tests.clinic.imports.folders import run


@pytest.fixture
def written(tmp_path):
    call_command("write_templates", str(tmp_path / "records"), verbosity=0)
    return tmp_path / "records"


def test_each_subject_has_a_file_with_its_header(written):
    for subject in SUBJECTS.values():
        expected = ",".join(file_columns(subject)) + "\n"
        assert (written / subject.file_name).read_text(encoding="utf-8") == expected


def test_the_dictionary_has_a_row_a_column(written):
    with (written / "data_dictionary.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    listed = [(row["file"], row["column"]) for row in rows]
    assert listed == [
        (subject.file_name, name) for subject in SUBJECTS.values() for name in file_columns(subject)
    ]
    assert all(row["meaning"] and row["allowed"] for row in rows)
    dwell = next(row for row in rows if row["column"] == "dwell_hours")
    assert (dwell["unit"], dwell["allowed"]) == ("hours", "a number from 0 to 72")


def test_the_dictionary_can_be_read_by_people(written):
    text = (written / "data_dictionary.md").read_text(encoding="utf-8")
    assert "## trainings.csv" in text and "| `trainer` | yes | no |" in text


@pytest.mark.django_db
def test_the_empty_files_load_as_they_are(written):
    loaded = run(written)
    assert (loaded.exit_code, loaded.err) == (0, "") and loaded.out.startswith("nothing new")


def test_nothing_is_written_over(written):
    (written / "clinics.csv").write_text("mine")
    with pytest.raises(CommandError) as refused:
        call_command("write_templates", str(written))
    assert refused.value.returncode == 2 and (written / "clinics.csv").read_text() == "mine"
