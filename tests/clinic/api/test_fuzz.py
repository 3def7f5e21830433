"""The API fuzzed from its own document, all roles: no fault of ours, nothing of another clinic.

FUZZ_CASES=2000 tries more than the usual 200.
"""

from __future__ import annotations

import json
import os
import uuid
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.generation.case import Case
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from clinic.api.clinics import document
from clinic.capabilities import ROLES
from clinic.models import RecordRow
from clinic.wsgi import application
from tests.clinic.access_world import World, make_world
from tests.clinic.api.calls import token_for

CASES = int(os.environ.get("FUZZ_CASES", "200"))
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
BACKEND = "django.contrib.auth.backends.ModelBackend"
MARK = "SM-mark"
# Who may read and write comes more often: the others are mostly refused at the door.
_OFTEN = [ROLES.index(role) for role in ("nurse", "nurse", "data_manager", "director")]
WHO = [*range(len(ROLES) + 1), *_OFTEN, *_OFTEN]
SCHEMA = schemathesis.openapi.from_dict(json.loads(json.dumps(document(), default=str)))
OPERATIONS = [result.ok() for result in SCHEMA.get_all_operations()]


@dataclass(frozen=True)
class Caller:
    """Who calls: by a token, or by a session's cookie."""

    headers: dict[str, str]
    cookies: dict[str, str]


@pytest.fixture
def world(db) -> World:
    world = make_world()
    for row in world.rows["SM"].values():
        _mark(row)
    return world


def _mark(row: RecordRow) -> None:
    """Free texts of the other clinic's rows carry a word that nobody here may ever read."""
    texts = [column.name for column in row.subject if column.kind in ("text", "organism")]
    if row.subject.name != "clinics":
        for name in (*texts, *(["number"] if row.subject.name == "patients" else [])):
            setattr(row, name, MARK)
        row.save()


@pytest.fixture
def callers(world) -> list[Caller]:
    return [*(_caller(world, role) for role in ROLES), Caller({}, {})]  # the last is nobody


def _caller(world: World, role: str) -> Caller:
    person = world.people[role]
    if role in ("administrator", "researcher"):  # no tokens: a session
        client = Client()
        client.force_login(person, BACKEND)
        return Caller({}, {"sessionid": client.cookies["sessionid"].value})
    return Caller({"Authorization": f"Bearer {token_for(person, role, world.here)}"}, {})


@dataclass(frozen=True)
class Aim:
    """Which caller tries which clinic's address with which clinic's row; '' = a random id."""

    who: int
    clinic: str
    row: str


@st.composite
def aimed(draw: st.DrawFn) -> tuple[Aim, Case]:
    """The aim is drawn first: what is drawn last is mostly the simplest."""
    aim = Aim(
        draw(st.sampled_from(WHO)),
        draw(st.sampled_from(["TQ", "TQ", "TQ", "SM", ""])),
        draw(st.sampled_from(["TQ", "TQ", "SM", ""])),
    )
    operation = draw(st.sampled_from(OPERATIONS))
    mode = draw(st.sampled_from([GenerationMode.POSITIVE, GenerationMode.NEGATIVE]))
    return aim, draw(operation.as_strategy(generation_mode=mode))


def _put_ids(case: Case, world: World, clinic: str, row: str) -> None:
    """Random ids find nothing: most calls are aimed at a row that is there."""
    subject = case.path.split("/")[4] if case.path.count("/") > 4 else "clinics"
    named = case.path_parameters or {}
    if "clinic_uid" in named and clinic:
        named["clinic_uid"] = str(world.rows[clinic]["clinics"].uid)
    if "uid" in named and row:
        named["uid"] = str(world.rows[row][subject].uid)
    if isinstance(case.body, dict) and row:
        for name, stored in world.rows[row].items():
            for field in (stored.subject.one, name, stored.parent_field):
                if field in case.body:
                    parents = {one._meta.model_name: one for one in world.rows[row].values()}
                    parent = parents.get(field.replace("_", ""))
                    case.body[field] = str(parent.uid if parent else uuid.uuid4())


@pytest.fixture
def one_connection() -> Iterator[None]:
    """A request's end would close the connection, and the test's transaction with it.

    Django's own test client leaves the two signals out; the fuzzer calls the application itself.
    """
    ends = (request_started, request_finished)
    for end in ends:
        end.disconnect(close_old_connections)
    yield
    for end in ends:
        end.connect(close_old_connections)


@pytest.mark.usefixtures("one_connection")
@pytest.mark.filterwarnings("default")  # of the fuzzer's own parts
def test_no_case_makes_a_fault_or_tells_of_another_clinic(world, callers):
    seen: dict[int, int] = {}

    @settings(
        max_examples=CASES, deadline=None, derandomize=True, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(drawn=aimed())
    def tried(drawn: tuple[Aim, Case]) -> None:
        aim, case = drawn
        _put_ids(case, world, aim.clinic, aim.row)
        caller = callers[aim.who]
        answer = case.call(headers=caller.headers, cookies=caller.cookies, app=application)
        case.validate_response(answer, checks=CHECKS)
        assert MARK.encode() not in answer.content
        seen[answer.status_code] = seen.get(answer.status_code, 0) + 1

    tried()
    assert {200, 400, 401, 403, 404} <= set(seen), seen
