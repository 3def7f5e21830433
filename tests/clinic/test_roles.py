"""The table equals access.csv cell for cell, and grants reach exactly as far as they say."""

import csv
from datetime import UTC, date, datetime
from types import SimpleNamespace

import pytest
from django.conf import settings

from clinic.capabilities import ANONYMOUS, CAPABILITIES, LATER, ROLES
from clinic.roles import can, clinics_where, conditions, period_open
from tests.factories import make_grant, make_patient, make_peritonitis, make_person

with (settings.HERE / "fixtures" / "access.csv").open(encoding="utf-8", newline="") as file:
    ROWS = [row for row in csv.DictReader(file) if not row["capability"].startswith("#")]

PEOPLE = ("nurse", "director", "auditor", "data_manager", "administrator")
SAMPLE = [row for row in ROWS if row["nurse"] != "n/a"]


def test_the_table_names_the_capabilities_of_the_file():
    assert list(CAPABILITIES) and set(CAPABILITIES) == {row["capability"] for row in ROWS}


@pytest.mark.parametrize("role", (*ROLES, ANONYMOUS))
def test_every_cell_of_the_table_equals_the_file(role: str):
    table = {name: str(cells[role]) for name, cells in CAPABILITIES.items()}
    assert table == {row["capability"]: row[role] for row in ROWS}


def test_rows_marked_later_are_the_ones_refused_to_all():
    assert {row["capability"] for row in ROWS if row["note"].startswith("(later")} == LATER


@pytest.fixture
def people(nurse, director, auditor, data_manager, administrator):
    return dict(zip(PEOPLE, (nurse, director, auditor, data_manager, administrator), strict=True))


def _snapshot(clinic, through="2025-Q1", state="signed"):
    return SimpleNamespace(clinic=clinic, through=through, state=state)


@pytest.mark.parametrize("role", PEOPLE)
def test_each_role_reaches_its_own_clinic_and_no_other(people, tern_quay, saltmere, role):
    person = people[role]
    for row in SAMPLE:
        name, scope = row["capability"], row[role].split(";")[0]
        allowed = scope not in ("no", "own record") and name not in LATER
        everywhere = scope == "yes" and name not in LATER
        assert can(person, name, _snapshot(tern_quay)) is allowed, name
        assert can(person, name, _snapshot(saltmere)) is everywhere, name


def test_a_record_row_belongs_to_its_patients_clinic(nurse, tern_quay, saltmere):
    own = make_peritonitis(make_patient(tern_quay))
    other = make_peritonitis(make_patient(saltmere))
    assert can(nurse, "episode.read", own) and not can(nurse, "episode.read", other)


def test_nurse_here_and_director_there_may_not_sign_here(nurse, tern_quay, saltmere):
    make_grant(nurse, "director", saltmere)
    assert not can(nurse, "quarter.sign_off", _snapshot(tern_quay))
    assert can(nurse, "quarter.sign_off", _snapshot(saltmere))


@pytest.mark.parametrize(
    ("first_day", "last_day", "allowed"),
    [
        (date(2026, 1, 20), None, True),
        (date(2026, 1, 21), None, False),
        (date(2025, 1, 1), date(2026, 1, 20), True),
        (date(2025, 1, 1), date(2026, 1, 19), False),
    ],
)
def test_a_grant_holds_from_its_first_to_its_last_day(tern_quay, first_day, last_day, allowed):
    person = make_person()
    make_grant(person, "nurse", tern_quay, first_day=first_day, last_day=last_day)
    assert can(person, "patient.read", tern_quay) is allowed


def test_an_ended_grant_gives_nothing(nurse, tern_quay):
    nurse.grants.update(ended_at=datetime(2026, 1, 19, tzinfo=UTC))
    assert not can(nurse, "patient.list") and not clinics_where(nurse, "patient.list")


def test_a_deactivated_person_may_nothing(nurse, tern_quay):
    nurse.is_active = False
    assert not can(nurse, "patient.read", tern_quay)


@pytest.mark.parametrize(
    ("through", "state", "allowed"),
    [
        ("2025-Q1", "signed", True),
        ("2025-Q1", "superseded", True),
        ("2025-Q1", "prepared", False),
        ("2025-Q1", "draft", False),
        ("2025-Q2", "signed", False),
        ("", "signed", False),
    ],
)
def test_an_auditor_opens_signed_snapshots_of_granted_quarters(
    auditor, tern_quay, through, state, allowed
):
    assert can(auditor, "recount.open", _snapshot(tern_quay, through, state)) is allowed


@pytest.mark.parametrize(
    ("period", "opens"),
    [
        ("2025-Q1", True),
        ("2025-Q1/4q", True),
        ("2024-Q4", False),
        ("2025", False),
        ("2025-01", False),
    ],
)
def test_an_auditors_snapshot_opens_two_periods(auditor, director, tern_quay, period, opens):
    snapshot = _snapshot(tern_quay)
    assert period_open(auditor, "recount.open", snapshot, period) is opens
    assert period_open(director, "recount.open", snapshot, period)


def test_the_administrator_sees_no_clinics_patients(administrator, tern_quay):
    make_patient(tern_quay)
    assert not clinics_where(administrator, "patient.list")
    assert list(clinics_where(administrator, "clinic.read")) == [tern_quay]


def test_a_network_officer_reads_the_clinics_of_the_network(tern_quay, saltmere):
    person = make_person()
    make_grant(person, "network_officer", network="Estuary & Fells")
    assert list(clinics_where(person, "dashboard.clinic_frozen")) == [saltmere, tern_quay]
    assert not clinics_where(person, "patient.list")


def test_own_record_means_the_person(nurse, director):
    assert can(nurse, "account.own_sessions", nurse)
    assert not can(nurse, "account.own_sessions", director)


def test_of_two_grants_the_one_with_fewer_conditions_is_used(nurse, tern_quay):
    make_grant(nurse, "data_manager", tern_quay)
    assert conditions(nurse, "spell.write", tern_quay) == frozenset()
    assert conditions(nurse, "patient.amend", tern_quay) == {"reason"}


def test_nobody_may_what_the_table_does_not_name(administrator):
    assert not can(administrator, "episode.erase")


def test_an_anonymous_visitor_may_sign_in_and_read_nothing(tern_quay):
    assert can(None, "account.sign_in") and not can(None, "patient.read", tern_quay)
