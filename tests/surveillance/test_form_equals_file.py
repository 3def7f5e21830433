"""One episode by form, the same by API, the same loaded from files: one case row."""

from datetime import date

import pytest
from django.core.management import call_command

from clinic.models import Patient, Peritonitis
from surveillance.live import live
from tests.clinic.api.calls import Caller
from tests.factories import make_clinic, make_grant, make_person

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


SENT = (
    ("pd_spells", "patient", {"started_on": "2024-02-05", "modality": "capd"}),
    ("catheters", "patient", {"catheter": "C1", "inserted_on": "2024-01-10"}),
    (
        "peritonitis", "patient",
        {"episode": "E1", "onset_on": "2025-03-10", "presented_at": "2025-03-10T09:40",
         "cloudy_effluent": "yes", "abdominal_pain": "unknown",
         "first_antibiotic_at": "2025-03-10T11:05", "therapy_completed_on": "2025-03-31",
         "resolved": "yes"},
    ),
    (
        "effluent_samples", "peritonitis",
        {"sample": "S1", "collected_at": "2025-03-10T10:15", "dwell_hours": 4,
         "leucocytes_per_ul": 2300, "neutrophil_percent": 88, "culture": "grown"},
    ),
    ("isolates", "effluent_sample", {"organism": "MRSA"}),
)  # fmt: skip


@pytest.fixture
def by_api(db):
    clinic = make_clinic("LR", name="Larkrise")
    person = make_person("yarrow")
    make_grant(person, "nurse", clinic)
    call, uids = Caller(person), {}

    def send(subject, body):
        answer = call("POST", f"clinics/{clinic.uid}/{subject}/", body)
        assert answer.status_code == 201, answer.content
        return answer.json()["uid"]

    uids["patient"] = send("patients", {"number": "P031", "birth_date": "1961-05-14"})
    for subject, parent, body in SENT:
        uid = send(subject, {parent: uids[parent], **body})
        uids[subject.removesuffix("s").replace("peritoniti", "peritonitis")] = uid
    return Patient.objects.get(clinic=clinic)


def test_form_api_and_file_give_the_same_case_row(by_hand, by_api, from_files):
    """Every cell but the clinic's own; nothing of it is empty for want of being read."""
    found = (by_hand, by_api, from_files)
    rows = [live(patient, date(2026, 1, 20)).cases for patient in found]
    hand, api, file = ({**row, "clinic": ""} for (row,) in rows)
    assert hand == api == file
    assert (hand["reason"], hand["organism_group"]) == ("counted_new", "staphylococcus_aureus")
    assert (hand["clinical_criterion"], hand["cell_criterion"], hand["culture_criterion"]) == (
        "met", "met", "met",
    )  # fmt: skip
    assert (hand["medical_cure"], hand["refractory"]) == ("yes", "not_assessable")
    assert len({live(patient, date(2026, 1, 20)).days_at_risk for patient in found}) == 1
