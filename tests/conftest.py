"""What every test may ask for: the named people of the invented clinics, and a fixed day."""

from collections.abc import Iterator

import pytest
from django.test import Client
from pytest_socket import socket_allow_hosts

from clinic.models import Clinic, Person
from tests.factories import make_clinic, make_grant, make_person
from tests.transactional import append_only_steps_aside  # noqa: F401  a fixture for all

TODAY = "2026-01-20"

pytest_plugins = ["tests.real_servers"]  # postgres_url, redis_url, chromium_path


def pytest_runtest_setup() -> None:
    """No test reaches beyond this machine."""
    socket_allow_hosts(["127.0.0.1", "::1", "localhost"], allow_unix_socket=True)


@pytest.fixture(autouse=True)
def _quick_passwords(settings) -> None:
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def _password_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in the demonstration; tests of the second factor take `second_factor_on`."""
    monkeypatch.setattr("clinic.actions.second_factor.is_off", lambda: True)


@pytest.fixture
def second_factor_on(monkeypatch: pytest.MonkeyPatch, _password_alone: None) -> None:
    monkeypatch.setattr("clinic.actions.second_factor.is_off", lambda: False)


@pytest.fixture(autouse=True)
def fixed_day(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """It is 20 January 2026 in every clinic, unless a test says otherwise."""
    monkeypatch.setenv("TODAY", TODAY)
    yield


@pytest.fixture
def tern_quay(db) -> Clinic:
    return make_clinic("TQ", name="Tern Quay", network="Estuary & Fells")


@pytest.fixture
def saltmere(db) -> Clinic:
    return make_clinic("SM", name="Saltmere", network="Estuary & Fells")


@pytest.fixture
def nurse(tern_quay: Clinic) -> Person:
    person = make_person("bramble", name="Nurse Bramble")
    make_grant(person, "nurse", tern_quay)
    return person


@pytest.fixture
def director(tern_quay: Clinic) -> Person:
    person = make_person("hazel", name="Director Hazel")
    make_grant(person, "director", tern_quay)
    return person


@pytest.fixture
def auditor(tern_quay: Clinic) -> Person:
    """Auditor Rowan may read the first quarter of 2025, and no other."""
    person = make_person("rowan", name="Auditor Rowan")
    make_grant(person, "auditor", tern_quay, quarters=["2025-Q1"])
    return person


@pytest.fixture
def data_manager(tern_quay: Clinic) -> Person:
    person = make_person("teasel", name="Data manager Teasel")
    make_grant(person, "data_manager", tern_quay)
    return person


@pytest.fixture
def administrator(db) -> Person:
    person = make_person("fennel", name="Administrator Fennel")
    make_grant(person, "administrator")
    return person


@pytest.fixture
def signed_in(client: Client):
    """Sign a person in: `signed_in(nurse).get(...)`."""

    def sign_in(person: Person) -> Client:
        client.force_login(person, "django.contrib.auth.backends.ModelBackend")
        return client

    return sign_in
