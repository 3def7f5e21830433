"""The database itself refuses to change an audit event or a frozen snapshot."""

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, connection, transaction

from clinic.actions.audit import host_actor, write_event
from clinic.models import AuditEvent, Clinic, Person
from surveillance.models import Snapshot, SnapshotTable

NOW = datetime(2026, 1, 20, 9, tzinfo=UTC)


@pytest.fixture
def draft(tern_quay: Clinic) -> Snapshot:
    snapshot = Snapshot.objects.create(
        clinic=tern_quay, through="2025-Q4", rule_set="rule_2022", as_of=date(2026, 1, 20),
        data_version=1, software_version="0", digest="0" * 64,
    )  # fmt: skip
    snapshot.tables.create(table="measures", rows=0, sha256="0" * 64, content=b"")
    return snapshot


@pytest.fixture
def prepared(draft: Snapshot, nurse: Person) -> Snapshot:
    draft.state, draft.prepared_by, draft.prepared_at = "prepared", nurse, NOW
    draft.save()
    return draft


def _signed(snapshot: Snapshot, person: Person) -> Snapshot:
    snapshot.state, snapshot.version = "signed", 1
    snapshot.signed_by, snapshot.signed_at = person, NOW
    snapshot.save()
    return snapshot


def _sql(statement: str) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE clinic_auditevent SET actor = 'somebody else'",
        "DELETE FROM clinic_auditevent",
    ],
)
def test_an_audit_event_is_never_changed(tern_quay: Clinic, statement: str) -> None:
    write_event(clinic=tern_quay, by=host_actor(), verb="recorded")
    with pytest.raises(IntegrityError, match="audit event is never"):
        _sql(statement)
    assert AuditEvent.objects.get().verb == "recorded"


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE surveillance_snapshot SET digest = 'other'",
        "UPDATE surveillance_snapshot SET state = 'draft', prepared_at = NULL",
        "DELETE FROM surveillance_snapshot",
        "UPDATE surveillance_snapshottable SET rows = 9",
        "DELETE FROM surveillance_snapshottable",
        """INSERT INTO surveillance_snapshottable
        (snapshot_id, "table", period, rows, sha256, content)
        SELECT id, 'cases', '', 0, '', '' FROM surveillance_snapshot""",
    ],
)
def test_a_frozen_snapshot_is_never_changed(prepared: Snapshot, statement: str) -> None:
    with pytest.raises(IntegrityError, match="never|takes no table"):
        _sql(statement)


def test_a_draft_may_be_replaced(draft: Snapshot) -> None:
    draft.delete()
    assert not SnapshotTable.objects.exists()


def test_a_stored_table_is_replaced_never_changed(draft: Snapshot) -> None:
    with pytest.raises(IntegrityError, match="stored table is never changed"):
        _sql("UPDATE surveillance_snapshottable SET rows = 9")


def test_a_draft_is_not_signed(draft: Snapshot, director: Person, nurse: Person) -> None:
    draft.prepared_by, draft.prepared_at = nurse, NOW
    with pytest.raises(IntegrityError), transaction.atomic():
        _signed(draft, director)


def test_the_allowed_way_leads_to_a_signature_that_stays(
    prepared: Snapshot, director: Person, nurse: Person
) -> None:
    signed = _signed(prepared, director)
    signed.version = 2
    with pytest.raises(IntegrityError, match="never changed"), transaction.atomic():
        signed.save()
    signed.state, signed.version = "superseded", 1
    signed.save()
    assert Snapshot.objects.get().state == "superseded"


def test_nobody_signs_what_she_prepared(prepared: Snapshot, nurse: Person) -> None:
    with pytest.raises(IntegrityError, match="snapshot_four_eyes"), transaction.atomic():
        _signed(prepared, nurse)


@pytest.mark.django_db(transaction=True)
def test_a_transactional_test_leaves_nothing_behind() -> None:
    clinic = Clinic.objects.create(code="TQ", name="Tern Quay", time_zone="Europe/London")
    write_event(clinic=clinic, by=host_actor(), verb="recorded")
    assert AuditEvent.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_the_refusals_stand_again_after_a_transactional_test() -> None:
    assert not AuditEvent.objects.exists()
    write_event(clinic=None, by=host_actor(), verb="recorded")
    with pytest.raises(IntegrityError):
        AuditEvent.objects.update(actor="somebody else")
