"""One episode written by hand and the same one loaded from files: one case row."""

from datetime import date

import pytest
from django.core.management import call_command

from clinic.models import Patient, Peritonitis
from surveillance.live import live

FILES = {
    "clinics": "clinic,name,time_zone,network\nSM,Saltmere,Europe/London,\n",
    "patients": "clinic,patient,birth_date\nSM,P031,1961-05-14\n",
    "pd_spells": "clinic,patient,started_on,modality\nSM,P031,2024-02-05,capd\n",
    "catheters": "clinic,patient,catheter,inserted_on\nSM,P031,C1,2024-01-10\n",
    "peritonitis": (
        "clinic,patient,episode,onset_on,presented_at,cloudy_effluent,abdominal_pain,"
        "first_antibiotic_at,therapy_completed_on,resolved\n"
        "SM,P031,E1,2025-03-10,2025-03-10T09:40,yes,unknown,2025-03-10T11:05,2025-03-31,yes\n"
    ),
    "effluent_samples": (
        "clinic,patient,episode,sample,collected_at,dwell_hours,leucocytes_per_ul,"
        "neutrophil_percent,culture\nSM,P031,E1,S1,2025-03-10T10:15,4,2300,88,grown\n"
    ),
    "isolates": "clinic,patient,episode,sample,organism\nSM,P031,E1,S1,MRSA\n",
}


@pytest.fixture
def from_files(db, tmp_path):
    for name, text in FILES.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    call_command("import_records", str(tmp_path))
    return Patient.objects.get(clinic__code="SM")


@pytest.fixture
def by_hand(signed_in, nurse, tern_quay):
    client, clinic = signed_in(nurse), f"/clinic/{tern_quay.uid}"
    client.post(f"{clinic}/patients/new/", {"number": "P031", "birth_date": "1961-05-14"})
    patient = Patient.objects.get(clinic=tern_quay)
    spell = {"started_on": "2024-02-05", "modality": "capd"}
    client.post(f"{clinic}/add/pd_spells/{patient.uid}/", spell)
    catheter = {"catheter": "C1", "inserted_on": "2024-01-10"}
    client.post(f"{clinic}/add/catheters/{patient.uid}/", catheter)
    contact = {
        "episode-episode": "E1",
        "episode-onset_on": "2025-03-10",
        "episode-presented_at": "2025-03-10T09:40",
        "episode-cloudy_effluent": "yes",
        "episode-abdominal_pain": "unknown",
        "episode-first_antibiotic_at": "2025-03-10T11:05",
        "sample-sample": "S1",
        "sample-collected_at": "2025-03-10T10:15",
        "sample-dwell_hours": "4",
        "sample-leucocytes_per_ul": "2300",
        "sample-neutrophil_percent": "88",
        "sample-culture": "grown",
        "isolate-organism": "MRSA",
    }
    client.post(f"{clinic}/patients/{patient.uid}/episode/", contact)
    episode = Peritonitis.objects.get(patient=patient)
    form = client.get(f"{clinic}/amend/peritonitis/{episode.uid}/").context["form"]
    sent = {bound.html_name: bound.value() or "" for bound in form}
    ended = {"therapy_completed_on": "2025-03-31", "resolved": "yes"}
    client.post(f"{clinic}/amend/peritonitis/{episode.uid}/", sent | ended)
    return patient


def test_form_and_file_give_the_same_case_row(by_hand, from_files):
    rows = [live(patient, date(2026, 1, 20)).cases for patient in (by_hand, from_files)]
    hand, file = ({**row, "clinic": ""} for (row,) in rows)
    assert hand == file and hand["reason"] == "counted_new"
    assert hand["organism_group"] == "staphylococcus_aureus"
