"""The demonstration's people, and the mark that tells its database from a real one."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.hashers import make_password
from django.db import transaction

from clinic.actions.audit import Actor, write_event
from clinic.actions.demonstration import MARK, is_demo_database
from clinic.actions.people import create_person, give_grant
from clinic.demo.parameters import Parameters
from clinic.models import AuditEvent, Clinic, Person

DEMO = Actor(name="demonstration")


def is_empty_database() -> bool:
    holders = (Clinic, Person, AuditEvent)
    return not any(model.objects.exists() for model in holders)


def mark_as_demo() -> None:
    """Written first: a build that was killed half-way is recognised and completed."""
    if not is_demo_database():
        write_event(by=DEMO, **MARK)  # type: ignore[arg-type]


def make_accounts(numbers: Parameters) -> None:
    """Each person with all grants or not at all; those already there are left alone."""
    there = set(Person.objects.values_list("username", flat=True))
    missing = [one for one in numbers.accounts["people"] if one["username"] not in there]
    # Hashed once for all: hashing is slow on purpose, and the password is printed anyway.
    password = make_password(numbers.accounts["password"]) if missing else ""
    for person in missing:
        with transaction.atomic():
            _make_account(numbers.accounts, person, password)


def _make_account(accounts: dict[str, Any], described: dict[str, Any], password: str) -> None:
    person = create_person(
        username=described["username"], name=described["name"], password=None, by=DEMO
    )
    Person.objects.filter(pk=person.pk).update(password=password)
    for grant in described["grants"]:
        code = grant.get("clinic")
        give_grant(
            person=person,
            role=grant["role"],
            clinic=Clinic.objects.get(code=code) if code else None,
            first_day=grant.get("first_day", accounts["granted_on"]),
            last_day=grant.get("last_day"),
            quarters=grant.get("quarters"),
            network=grant.get("network", ""),
            reason=accounts["reason"],
            by=DEMO,
        )


def account_lines(numbers: Parameters) -> list[str]:
    """Sign-in name, name and rights of each account, as the command prints them."""
    names = {clinic.code: clinic.name for clinic in numbers.clinics}
    return [
        f"  {person['username']:<10}{person['name']:<24}{_rights(person['grants'], names)}"
        for person in numbers.accounts["people"]
    ]


def _rights(grants: list[dict[str, Any]], names: dict[str, str]) -> str:
    said = []
    for grant in grants:
        where = names.get(grant.get("clinic", ""), grant.get("network", "the house"))
        quarters = grant.get("quarters")
        span = f", {quarters[0]} to {quarters[-1]}" if quarters else ""
        said.append(f"{grant['role'].replace('_', ' ')} of {where}{span}")
    return "; ".join(said)
