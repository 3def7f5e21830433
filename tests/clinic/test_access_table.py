"""access.csv, cell by cell: what `can` says, and what the page or the route answers."""

from __future__ import annotations

import csv
from collections.abc import Iterator

import pytest
from django.conf import settings
from django.db import transaction
from django.test import Client

from clinic.capabilities import ANONYMOUS, CAPABILITIES, LATER, ROLES
from clinic.roles import can
from tests.clinic.access_routes import ROUTES, Route
from tests.clinic.access_world import World, make_world

with (settings.HERE / "fixtures" / "access.csv").open(encoding="utf-8", newline="") as file:
    ROWS = {row["capability"]: row for row in csv.DictReader(file)}

CELLS = [(name, role) for name in CAPABILITIES for role in (*ROLES, ANONYMOUS)]
TRIED = [(route, role) for route in ROUTES for role in (*ROLES, ANONYMOUS)]
BACKEND = "django.contrib.auth.backends.ModelBackend"
# Reads a signed snapshot, never the living record: there is no such row for an auditor.
SNAPSHOTS_ALONE = "signed only"


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: pytest.FixtureRequest) -> Iterator[World]:
    """Made once; each test leaves it as it was."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_world()
        transaction.set_rollback(True)


def _scope(name: str, role: str) -> str:
    scope = ROWS[name][role].split(";")[0]
    return "no" if name in LATER or scope in ("n/a", "sign in") else scope


@pytest.mark.parametrize(("name", "role"), CELLS, ids=[f"{n}-{r}" for n, r in CELLS])
def test_what_the_cell_says_is_what_may_be_done(db, world, name, role):
    person, scope = world.people[role], _scope(name, role)
    own = person if scope == "own record" else world.signed(world.here)
    other = world.people["nurse" if role != "nurse" else "director"]
    foreign = other if scope == "own record" else world.signed(world.there)
    assert can(person, name, own) is (scope not in ("no", "own project"))
    assert can(person, name, foreign) is (scope == "yes")


def _in_own(route: Route, role: str) -> int:
    """The answer for a thing of the clinic (or network) that the person has the role in."""
    cell, scope = ROWS[route.capability][role], _scope(route.capability, role)
    if scope == "no":
        return 403
    living = route.address.startswith("/api/") and route.capability != "clinic.read"
    return 404 if SNAPSHOTS_ALONE in cell and living else route.allowed


def _in_other(route: Route, role: str) -> int:
    scope = _scope(route.capability, role)
    return {"no": 403, "yes": route.allowed}.get(scope, 404)


@pytest.mark.parametrize(
    ("route", "role"), TRIED, ids=[f"{t.method} {t.address} {r}" for t, r in TRIED]
)
def test_what_the_cell_says_is_what_is_answered(db, world, route, role):
    client = Client()
    if role == ANONYMOUS:
        for code in ("TQ", "SM"):
            answer = _asked(client, world, route, code)
            api = route.address.startswith("/api/")
            assert answer.status_code == (401 if api else 302)
            assert api or answer["Location"].startswith("/sign-in?next=/")
        return
    client.force_login(world.people[role], BACKEND)
    assert _asked(client, world, route, "TQ").status_code == _in_own(route, role)
    if route.of_clinic:
        assert _asked(client, world, route, "SM").status_code == _in_other(route, role)


def _asked(client: Client, world: World, route: Route, code: str):
    more = {"data": b"{}", "content_type": "application/json"} if route.method != "GET" else {}
    return client.generic(route.method, route.address_in(world, code), **more)
