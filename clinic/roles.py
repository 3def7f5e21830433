"""Whether a person may do a thing: the table of access.csv, matched to the grants held now."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Any

from django.db.models import Q, QuerySet

from clinic.capabilities import ANONYMOUS, CAPABILITIES, LATER, Cell
from clinic.clock import today
from clinic.lineage import clinic_of
from clinic.models import Clinic, Grant, Person, RecordRow

__all__ = [
    "CAPABILITIES",
    "can",
    "clinics_where",
    "conditions",
    "grants_now",
    "period_open",
    "read_grants_once",
    "snapshots_where",
]

SIGNED_STATES = ("signed", "superseded")
_WHERE_SCOPES = ("own clinic", "own grant")


def grants_now(person: Person | None) -> list[Grant]:
    """The grants in force at this moment, read from the database each time it is asked; a request
    that only reads asks once (`read_grants_once`)."""
    known = getattr(person, "grants_of_reading", None)
    if known is not None:
        return list(known)
    return _read_grants(person)


def read_grants_once(person: Person) -> None:
    """For one request that changes nothing: a page asks some thirty times."""
    person.grants_of_reading = _read_grants(person)


def _read_grants(person: Person | None) -> list[Grant]:
    if person is None or not person.is_authenticated or not person.is_active:
        return []
    standing = person.grants.filter(ended_at=None).select_related("clinic")
    return [grant for grant in standing if _in_force(grant) and _in_token(person, grant)]


def _in_token(person: Person, grant: Grant) -> bool:
    """A token carries one role into some clinics; it never adds to what its owner may."""
    if person.token is None:
        return True
    return grant.role == person.token.role and _in_reach(person, grant.clinic_id)


def _in_reach(person: Person | None, clinic_key: int | None) -> bool:
    token = getattr(person, "token", None)
    return token is None or clinic_key is None or clinic_key in token.clinic_keys


def _in_force(grant: Grant) -> bool:
    day = _today(grant.clinic)
    if grant.clinic is not None and grant.clinic.withdrawn_at is not None:
        return False
    return grant.first_day <= day and (grant.last_day is None or day <= grant.last_day)


def _today(clinic: Clinic | None) -> date:
    """The grant's last day ends at 24:00 in the clinic's zone; the house keeps UTC."""
    return today(clinic) if clinic is not None else datetime.now(UTC).date()


def _cell(role: str, capability: str) -> Cell:
    if capability in LATER or capability not in CAPABILITIES:
        return Cell("no")
    return CAPABILITIES[capability][role]


def _held(person: Person | None, capability: str) -> list[tuple[Grant, Cell]]:
    pairs = [(grant, _cell(grant.role, capability)) for grant in grants_now(person)]
    return [(grant, cell) for grant, cell in pairs if cell.scope not in ("no", "n/a")]


def can(person: Person | None, capability: str, thing: Any = None) -> bool:
    """Whether one of the person's grants allows it for this thing (or, without one, anywhere)."""
    if _cell(ANONYMOUS, capability).scope == "yes":
        return True
    return any(_allows(grant, cell, person, thing) for grant, cell in _held(person, capability))


def conditions(person: Person | None, capability: str, thing: Any = None) -> frozenset[str]:
    """The conditions that bind the person here; a grant with fewer of them is the one used."""
    fitting = [
        frozenset(cell.conditions)
        for grant, cell in _held(person, capability)
        if _allows(grant, cell, person, thing)
    ]
    return min(fitting, key=len, default=frozenset())


def _allows(grant: Grant, cell: Cell, person: Person | None, thing: Any) -> bool:
    if thing is None:
        return True
    clinic = _clinic_of(thing)
    in_reach = _in_reach(person, clinic.pk if clinic else None)
    return in_reach and _FITS[cell.scope](grant, person, thing)


def _fits_own_clinic(grant: Grant, person: Person | None, thing: Any) -> bool:
    clinic = _clinic_of(thing)
    return clinic is not None and grant.clinic_id == clinic.pk


def _fits_own_grant(grant: Grant, person: Person | None, thing: Any) -> bool:
    """An auditor's clinic; of its snapshots only the signed ones of the quarters granted."""
    if not _fits_own_clinic(grant, person, thing):
        return False
    return isinstance(thing, Clinic) or (_is_signed(thing) and thing.through in grant.quarters)


def _fits_own_network(grant: Grant, person: Person | None, thing: Any) -> bool:
    clinic = _clinic_of(thing)
    if clinic is None or not grant.network or clinic.network != grant.network:
        return False
    return isinstance(thing, Clinic) or _is_signed(thing)


def _is_signed(thing: Any) -> bool:
    return getattr(thing, "state", "") in SIGNED_STATES and hasattr(thing, "through")


def _fits_own_record(grant: Grant, person: Person | None, thing: Any) -> bool:
    owner = thing if isinstance(thing, Person) else getattr(thing, "person", None)
    return owner is not None and owner == person


_FITS = {
    "yes": lambda grant, person, thing: True,
    "own clinic": _fits_own_clinic,
    "own grant": _fits_own_grant,
    "own network": _fits_own_network,
    "own record": _fits_own_record,
    "own project": lambda grant, person, thing: False,  # no projects yet
}


def _clinic_of(thing: Any) -> Clinic | None:
    """The clinic that a clinic, a record row or anything with `.clinic` belongs to."""
    return clinic_of(thing) if isinstance(thing, RecordRow) else getattr(thing, "clinic", None)


def clinics_where(person: Person | None, capability: str) -> QuerySet[Clinic]:
    """The clinics for which the person holds the capability: filter by these first, then get."""
    found = Q(pk__in=[])
    for grant, cell in _held(person, capability):
        if cell.scope == "yes":
            found |= ~Q(pk__in=[])
        elif cell.scope in _WHERE_SCOPES:
            found |= Q(pk=grant.clinic_id)
        elif cell.scope == "own network" and grant.network:
            found |= Q(network=grant.network)
    return _reached(person, Clinic.objects.filter(found, withdrawn_at=None), "pk")


def _reached(person: Person | None, things: QuerySet[Any], clinic: str) -> QuerySet[Any]:
    token = getattr(person, "token", None)
    return things if token is None else things.filter(**{f"{clinic}__in": token.clinic_keys})


def snapshots_where(
    person: Person | None, capability: str, snapshots: QuerySet[Any]
) -> QuerySet[Any]:
    """Of these snapshots (fields clinic, through, state) the ones the person may open."""
    found = Q(pk__in=[])
    for grant, cell in _held(person, capability):
        if cell.scope == "own clinic":
            found |= Q(clinic=grant.clinic_id)
        elif cell.scope == "own grant":
            found |= Q(clinic=grant.clinic_id, through__in=grant.quarters, state__in=SIGNED_STATES)
        elif cell.scope == "own network" and grant.network:
            found |= Q(clinic__network=grant.network, state__in=SIGNED_STATES)
    return _reached(person, snapshots.filter(found), "clinic")


def period_open(person: Person | None, capability: str, snapshot: Any, period: str) -> bool:
    """Whether one period of a snapshot may be read: an auditor's holds two of them."""
    opens = _periods_of_quarter(snapshot.through)
    return any(
        cell.scope != "own grant" or period in opens
        for grant, cell in _held(person, capability)
        if _allows(grant, cell, person, snapshot)
    )


def _periods_of_quarter(quarter: str) -> Iterable[str]:
    """The quarter and the rolling four quarters that end with it, with the lists behind both."""
    return (quarter, f"{quarter}/4q")
