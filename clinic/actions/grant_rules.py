"""What a grant may be, and which may not stand beside each other (access.csv, rule.*)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

from django.core.exceptions import PermissionDenied
from django.db.models import Q

from clinic.actions.demonstration import in_demonstration
from clinic.actions.refusals import Fault, Refused
from clinic.actions.second_factor import can_sign_in
from clinic.clock import today
from clinic.models import Clinic, Grant, Person

LONGEST_AUDIT_DAYS = 90  # access.csv, grant.give_auditor
USUAL_AUDIT_DAYS = 30
CLINIC_ROLES = ("nurse", "director", "data_manager")
CAPABILITIES_TO_GIVE = {
    "nurse": "grant.give_clinic_role",
    "director": "grant.give_clinic_role",
    "data_manager": "grant.give_clinic_role",
    "auditor": "grant.give_auditor",
    "network_officer": "grant.give_network_officer",
    "administrator": "grant.give_administrator",
    "researcher": "grant.give_researcher",
}
QUARTER = re.compile(r"[12][0-9]{3}-Q[1-4]")
# Not by one person on one clinic at the same time; an administrator is one for every clinic.
_APART = {
    "auditor": {"nurse", "director", "data_manager", "administrator"},
    "administrator": {"director", "data_manager", "auditor"},
    "nurse": {"auditor"},
    "director": {"auditor", "administrator"},
    "data_manager": {"auditor", "administrator"},
}


class LastAdministrator(Exception):
    """Nobody would be left who can give and end rights."""

    def __init__(self) -> None:
        super().__init__("At least one administrator must stay who can sign in.")


def require_not_own(by: Person, person: Person) -> None:
    """access.csv, rule.self_grant: on the host a second person's name is needed as well."""
    if by == person:
        raise PermissionDenied("Nobody gives a right to themselves: ask another administrator.")


def require_apart(
    person: Person, role: str, clinic: Clinic | None, first: date, last: date | None
) -> None:
    """rule.combinations; in a demonstration one person may show several roles."""
    held = person.grants.filter(_at_the_same_time(first, last), ended_at=None)
    if clinic is not None:
        held = held.filter(Q(clinic=clinic) | Q(clinic=None))
    clash = sorted(_APART.get(role, set()) & set(held.values_list("role", flat=True)))
    if clash and "administrator" in (role, *clash) and in_demonstration():
        return
    if clash:
        other = clash[0].replace("_", " ")
        told = f"{person.name} is {other} there: one person is not both at the same time."
        raise Refused(Fault("role", told))


def _at_the_same_time(first: date, last: date | None) -> Q:
    reaches = Q(last_day=None) | Q(last_day__gte=first)
    return reaches & Q(first_day__lte=last) if last else reaches


def require_whole(grant: Grant) -> None:
    """Every fault of what a person typed, at its field."""
    faults = [Fault(field, sentence) for field, sentence in _faults(grant)]
    if faults:
        raise Refused(*faults)


def _faults(grant: Grant) -> Iterator[tuple[str, str]]:
    of_clinic = grant.role in (*CLINIC_ROLES, "auditor")
    if of_clinic and grant.clinic is None:
        yield "clinic", "Choose the clinic."
    if grant.role == "network_officer" and not _is_network(grant.network):
        yield "network", "Write the name of a network as its clinics have it."
    if grant.last_day is not None and grant.last_day < grant.first_day:
        yield "last_day", "Not before the first day."
    if grant.role == "auditor":
        yield from _faults_of_audit(grant)


def _is_network(name: str) -> bool:
    return bool(name) and Clinic.objects.filter(network=name, withdrawn_at=None).exists()


def _faults_of_audit(grant: Grant) -> Iterator[tuple[str, str]]:
    """No open end, no extension: a longer audit is a new grant with a new reason."""
    if not grant.quarters or not all(map(QUARTER.fullmatch, grant.quarters)):
        yield "quarters", "Name the quarters, such as 2025-Q1 2025-Q2."
    if grant.clinic is None:
        return
    latest = today(grant.clinic) + timedelta(days=LONGEST_AUDIT_DAYS)
    if grant.last_day is None or grant.last_day > latest:
        yield "last_day", f"An audit ends by {latest.isoformat()} ({LONGEST_AUDIT_DAYS} days)."


def require_administrator_left() -> None:
    """Asked after the change and before it is kept; the house is held meanwhile."""
    lasting = Grant.objects.filter(
        role="administrator", ended_at=None, last_day=None, person__is_active=True,
        first_day__lte=datetime.now(UTC).date(),
    ).select_related("person")  # fmt: skip
    if not any(can_sign_in(grant.person) for grant in lasting):
        raise LastAdministrator


def is_last_director(grant: Grant) -> bool:
    """Ending this one leaves the clinic without a director: said, not refused."""
    if grant.role != "director":
        return False
    others = Grant.objects.filter(
        role="director", clinic=grant.clinic, ended_at=None, person__is_active=True
    )
    return not others.exclude(pk=grant.pk).exists()
