"""Two at once: a load beside a reading, and two people who prepare in the same second."""

from tests.faults.house import House

PEOPLE = """
from datetime import date
from clinic.models import Clinic, Grant, Person
clinic = Clinic.objects.create(code="TQ", name="Tern Quay", time_zone="Europe/London")
for username in ("bramble", "teasel"):
    person = Person.objects.create_person(username=username, name=username)
    Grant.objects.create(person=person, role="nurse", clinic=clinic, first_day=date(2020, 1, 1))
"""
PREPARE = """
from clinic.models import Clinic, Person
from surveillance.snapshots import AlreadyPrepared, prepare_quarter
clinic = Clinic.objects.get()
try:
    prepare_quarter(clinic=clinic, quarter="2025-Q4", by=Person.objects.get(username="{}"))
except AlreadyPrepared as refused:
    print(refused)
"""
LOAD_BESIDE_READING = """
from django.db import connection
from clinic.models import Patient
from surveillance.extract import consistent_read
from clinic.models import Clinic
clinic = Clinic.objects.create(code="TQ", name="Tern Quay", time_zone="Europe/London")
with consistent_read():
    before = Patient.objects.count()
    other = connection.copy()
    with other.cursor() as cursor:
        cursor.execute(
            "INSERT INTO clinic_patient (uid, version, hand_columns, withdrawn_reason, clinic_id,"
            " number, sex, diabetes) VALUES (gen_random_uuid(), 1, '[]', '', %s, 'P1', '', '')",
            [clinic.pk],
        )
    other.close()
    assert Patient.objects.count() == before == 0
print(Patient.objects.count())
"""


def test_two_people_who_prepare_at_once_freeze_once(any_house: House) -> None:
    # bad_inputs C04
    any_house.python(PEOPLE)
    both = [
        any_house.start("manage.py", "shell", "--no-imports", "--command", PREPARE.format(person))
        for person in ("bramble", "teasel")
    ]
    assert [process.wait() for process in both] == [0, 0]
    said = "".join((any_house.folder / f"log{number}").read_text() for number in (0, 1))
    assert "2025-Q4 was prepared by" in said
    assert any_house.query("SELECT state FROM surveillance_snapshot") == [("prepared",)]


def test_a_load_beside_a_reading_is_seen_whole_or_not_at_all(grown_up_house: House) -> None:
    # bad_inputs C03; on SQLite the load waits until the reading is done.
    assert grown_up_house.python(LOAD_BESIDE_READING) == "1\n"
