"""A folder with twenty different faults: twenty messages, nothing stored, exit 1."""

import pytest

from clinic.models import AuditEvent
from tests.clinic.base_record import base
from tests.clinic.imports.folders import run, stored_counts, write_folder

pytestmark = pytest.mark.django_db

P031 = {"clinic": "TQ", "patient": "P031"}

# Each row is added to the base record and brings one fault, at this column with these words.
FAULTY_ROWS = [
    ("clinics", {"clinic": "XX", "name": "Nowhere", "time_zone": "Europe/Lundun"},
     "time_zone", "not a known IANA time zone"),
    ("patients", {"patient": "P002", "sex": "F"}, "sex", "female, male, other"),
    ("patients", {"birth_date": "1961-05-15"}, "patient", "as row 1 (line 2)"),
    ("patients", {"patient": "P003", "birth_date": "14.05.1961"}, "birth_date", "write 1961-05-14"),
    ("pd_spells", {"started_on": ""}, "started_on", "must be filled"),
    ("pd_spells", {"started_on": "2024-03-01", "last_day_on": "2024-02-29"},
     "last_day_on", "before its first day (1 Mar 2024)"),
    ("pd_pauses", {"started_on": "2026-02-01"}, "started_on", "after today (20 Jan 2026"),
    ("catheters", {"catheter": "C\u200b2", "inserted_on": "2024-05-01"},
     "catheter", "invisible character U+200B"),
    ("catheters", {"catheter": "C3", "inserted_on": "1950-05-01"}, "inserted_on", "before birth"),
    ("trainings", {"completed_on": "2024-05-01", "kind": "yearly", "trainer": "T-01"},
     "kind", "initial, scheduled, triggered"),
    ("peritonitis", {"episode": "E2"}, "onset_on", "no onset at all"),
    ("peritonitis", {"episode": "E3", "onset_on": "2025-02-30"}, "onset_on", "30 February 2025"),
    ("effluent_samples", {"episode": "E9", "sample": "S1"}, "episode", "not in this folder"),
    ("effluent_samples", {"episode": "E1", "sample": "S2", "leucocytes_per_ul": "0.65"},
     "leucocytes_per_ul", "650 per uL"),
    ("effluent_samples", {"episode": "E1", "sample": "S3", "collected_at": "2025-03-30T01:30"},
     "collected_at", "did not exist"),
    ("effluent_samples", {"episode": "E1", "sample": "S4", "neutrophil_percent": "101"},
     "neutrophil_percent", "0 to 100"),
    ("isolates", {"episode": "E1", "sample": "S9", "organism": "Escherichia coli"},
     "sample", "not in this folder"),
    ("admissions", {"admitted_on": "2025-05-01", "episode": "E8"}, "episode", "not in this folder"),
    ("contaminations", {"clinic": "QQ", "happened_at": "2025-05-01T10:00", "kind": "wet"},
     "clinic", "not in this folder"),
    ("contaminations", {"happened_at": "2025-05-01", "kind": "wet"}, "happened_at", "T09:40"),
]  # fmt: skip


def _folder(tmp_path):
    record = base()
    for subject, cells, *_ in FAULTY_ROWS:
        whose = {} if subject == "clinics" else P031
        record.setdefault(subject, []).append(whose | cells)
    return write_folder(tmp_path, record)


def test_twenty_faults_are_twenty_messages_and_nothing_is_stored(tmp_path):
    refused = run(_folder(tmp_path))
    assert refused.exit_code == 1 and len(FAULTY_ROWS) == len(refused.faults) == 20
    for subject, _, column, words in FAULTY_ROWS:
        told = [
            fault
            for fault in refused.faults
            if fault.startswith(f"{subject}.csv row ")
            and f", {column}: " in fault
            and words in fault
        ]
        assert len(told) == 1, (subject, column, words)
    assert stored_counts() == {} and not AuditEvent.objects.exists()


def test_a_check_finds_the_same_faults(tmp_path):
    folder = _folder(tmp_path)
    assert run(folder, "--check").faults == run(folder).faults
