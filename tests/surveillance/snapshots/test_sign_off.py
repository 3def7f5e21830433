"""A quarter is prepared by one person and signed by another; what is frozen stays."""

from datetime import date
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied

from clinic.actions.audit import write_event
from clinic.actions.refusals import Refused
from clinic.models import AuditEvent, Clinic, EffluentSample, Patient, Peritonitis, Person
from surveillance.models import Snapshot
from surveillance.snapshots import (
    AlreadyPrepared,
    NewerFigures,
    NotEnded,
    NotPrepared,
    SamePerson,
    amended_by_signer,
    compute_draft,
    is_restatement_due,
    latest_snapshot,
    prepare_quarter,
    restated,
    return_quarter,
    sign_quarter,
    table_bytes,
)
from tests.factories import make_grant

QUARTER = "2025-Q1"
WHY = "The laboratory corrected a count."


@pytest.fixture
def clinic(base_patient: Patient) -> Clinic:
    return base_patient.clinic


@pytest.fixture
def prepared(clinic: Clinic, nurse: Person) -> Snapshot:
    return prepare_quarter(clinic=clinic, quarter=QUARTER, by=nurse)


@pytest.fixture
def signed(prepared: Snapshot, director: Person) -> Snapshot:
    return sign_quarter(snapshot=prepared, by=director, digest=prepared.digest)


def change_the_record(clinic: Clinic, by: Person) -> None:
    """Neither symptom nor cells after all: the episode is not confirmed and does not count."""
    Peritonitis.objects.update(cloudy_effluent="no", abdominal_pain="no")
    EffluentSample.objects.update(leucocytes_per_ul=50)
    write_event(clinic=clinic, by=by, verb="amend", thing="peritonitis")


def test_preparing_freezes_the_figures_up_to_the_quarter(prepared: Snapshot, nurse: Person):
    assert (prepared.state, prepared.prepared_by, prepared.through) == ("prepared", nurse, QUARTER)
    event = AuditEvent.objects.get(verb="prepare")
    assert (event.thing_uid, event.number) == (prepared.uid, prepared.data_version)
    assert event.changes["digest"] == [None, prepared.digest]


def test_a_quarter_that_runs_cannot_be_prepared(clinic: Clinic, nurse: Person) -> None:
    # bad_inputs L13
    with pytest.raises(NotEnded, match="ends 31 Mar 2026"):
        prepare_quarter(clinic=clinic, quarter="2026-Q1", by=nurse)
    assert not Snapshot.objects.exists()


def test_a_quarter_may_be_prepared_on_its_last_day(clinic, nurse, monkeypatch) -> None:
    monkeypatch.setenv("TODAY", "2025-12-31")
    assert prepare_quarter(clinic=clinic, quarter="2025-Q4", by=nurse).state == "prepared"


@pytest.mark.parametrize("text", ["2025-Q5", "2025-13", "2025Q3", "2025-Q3/5q", "2025", "2025-07"])
def test_what_is_not_a_quarter_is_refused(clinic: Clinic, nurse: Person, text: str) -> None:
    with pytest.raises(Refused, match="2025-Q3"):
        prepare_quarter(clinic=clinic, quarter=text, by=nurse)


def test_who_may_not_prepare_is_refused(clinic: Clinic, director: Person) -> None:
    with pytest.raises(PermissionDenied):
        prepare_quarter(clinic=clinic, quarter=QUARTER, by=director)


def test_two_people_who_press_at_once_freeze_once(prepared, data_manager: Person) -> None:
    # bad_inputs C04
    with pytest.raises(AlreadyPrepared, match="by Nurse Bramble just now"):
        prepare_quarter(clinic=prepared.clinic, quarter=QUARTER, by=data_manager)
    assert Snapshot.objects.count() == 1


def test_the_same_figures_are_not_prepared_again(prepared, data_manager: Person) -> None:
    write_event(clinic=prepared.clinic, by=data_manager, verb="read", thing="patients")
    with pytest.raises(AlreadyPrepared):
        prepare_quarter(clinic=prepared.clinic, quarter=QUARTER, by=data_manager)
    assert AuditEvent.objects.filter(verb="prepare").count() == 1


def test_signing_numbers_the_version(signed: Snapshot, director: Person) -> None:
    assert (signed.state, signed.version, signed.signed_by) == ("signed", 1, director)
    assert AuditEvent.objects.get(verb="sign").changes["digest"] == [None, signed.digest]


def test_who_prepared_does_not_sign(prepared: Snapshot, nurse: Person) -> None:
    # bad_inputs S19: the nurse was given the director role meanwhile.
    make_grant(nurse, "director", prepared.clinic)
    with pytest.raises(SamePerson, match="Prepared by you; another director signs."):
        sign_quarter(snapshot=prepared, by=nurse, digest=prepared.digest)


def test_a_nurse_does_not_sign(prepared: Snapshot, data_manager: Person) -> None:
    with pytest.raises(PermissionDenied):
        sign_quarter(snapshot=prepared, by=data_manager, digest=prepared.digest)


def test_newer_figures_are_read_before_signing(prepared, data_manager, director) -> None:
    # bad_inputs C13
    change_the_record(prepared.clinic, data_manager)
    prepare_quarter(clinic=prepared.clinic, quarter=QUARTER, by=data_manager)
    with pytest.raises(NewerFigures):
        sign_quarter(snapshot=prepared, by=director, digest=prepared.digest)
    assert not Snapshot.objects.filter(state="signed").exists()


def test_signing_names_the_figures_that_were_read(prepared: Snapshot, director: Person) -> None:
    with pytest.raises(NewerFigures):
        sign_quarter(snapshot=prepared, by=director, digest="0" * 64)


def test_signing_twice_signs_once(signed: Snapshot, director: Person) -> None:
    with pytest.raises(NotPrepared, match="signed already"):
        sign_quarter(snapshot=signed, by=director, digest=signed.digest)


def test_a_returned_version_stays_and_another_is_prepared(prepared, nurse, director) -> None:
    returned = return_quarter(snapshot=prepared, by=director, reason=WHY)
    assert (returned.state, returned.returned_reason) == ("returned", WHY)
    again = prepare_quarter(clinic=prepared.clinic, quarter=QUARTER, by=nurse)
    assert again.pk != returned.pk
    assert Snapshot.objects.count() == 2


def test_returning_needs_a_reason(prepared: Snapshot, director: Person) -> None:
    with pytest.raises(Refused, match="Say why"):
        return_quarter(snapshot=prepared, by=director, reason=" \n ")


def test_a_restatement_supersedes_and_the_old_bytes_stay(signed, data_manager, director) -> None:
    # bad_inputs P03
    before = table_bytes(signed, "measures", QUARTER)
    change_the_record(signed.clinic, data_manager)
    newer = prepare_quarter(
        clinic=signed.clinic, quarter=QUARTER, by=data_manager, reason=WHY,
        causes=["reclassified"],
    )  # fmt: skip
    newer = sign_quarter(snapshot=newer, by=director, digest=newer.digest)
    signed.refresh_from_db()
    assert (signed.state, newer.version) == ("superseded", 2)
    assert table_bytes(signed, "measures", QUARTER) == before
    assert table_bytes(newer, "measures", QUARTER) != before


def test_a_restatement_needs_a_reason(signed: Snapshot, data_manager: Person) -> None:
    with pytest.raises(Refused, match="Say why"):
        prepare_quarter(clinic=signed.clinic, quarter=QUARTER, by=data_manager)


def test_a_restatement_needs_a_cause_that_is_known(signed: Snapshot, data_manager) -> None:
    for causes in ([], ["late_episode", "weather"]):
        with pytest.raises(Refused, match="Say what caused the change"):
            prepare_quarter(
                clinic=signed.clinic, quarter=QUARTER, by=data_manager, reason=WHY, causes=causes
            )


def test_a_restatement_says_cause_and_size_and_keeps_both_vintages(
    signed, data_manager, director
) -> None:
    change_the_record(signed.clinic, data_manager)
    newer = prepare_quarter(
        clinic=signed.clinic, quarter=QUARTER, by=data_manager, reason=WHY,
        causes=["reclassified"],
    )  # fmt: skip
    found = restated(newer)
    assert found is not None and found.before == signed
    assert (found.causes, found.reason) == (("reclassified",), WHY)
    rate = next(
        one for one in found.changes
        if (one.period, one.measure) == (QUARTER, "peritonitis_rate")
    )  # fmt: skip
    assert (rate.before["numerator"], rate.after["numerator"]) == (1, 0)
    assert rate.before["denominator"] == rate.after["denominator"]
    assert restated(signed) is None


def test_a_restatement_is_due_when_a_later_draft_differs(signed, data_manager) -> None:
    work = {"clinic": signed.clinic, "rule_set": "rule_2022", "as_of": signed.as_of}
    assert not is_restatement_due(signed, compute_draft(**work))
    change_the_record(signed.clinic, data_manager)
    assert is_restatement_due(signed, compute_draft(**work))


def test_the_signature_says_how_many_episodes_the_signer_wrote(prepared, director) -> None:
    episode = Peritonitis.objects.get()
    write_event(
        clinic=prepared.clinic, by=director, verb="amend", thing="peritonitis",
        thing_uid=episode.uid,
    )  # fmt: skip
    signed = sign_quarter(snapshot=prepared, by=director, digest=prepared.digest)
    assert amended_by_signer(signed) == (1, 1)


def test_drafts_go_on_beside_a_signed_version(signed: Snapshot) -> None:
    draft = compute_draft(
        clinic=signed.clinic, rule_set="rule_2022", as_of=signed.as_of, through=QUARTER
    )
    assert latest_snapshot(signed.clinic) == draft
    assert Snapshot.objects.filter(state="signed").count() == 1


def test_a_snapshot_that_is_gone_is_not_signed(clinic: Clinic, director: Person) -> None:
    gone = Snapshot(clinic=clinic, through=QUARTER, state="prepared", uid=uuid4(),
                    as_of=date(2026, 1, 20))  # fmt: skip
    with pytest.raises(NewerFigures):
        sign_quarter(snapshot=gone, by=director, digest="0" * 64)
