"""Real PostgreSQL, Redis, Chromium and office programs for tests: used where found, demanded in CI.

With REQUIRE_SERVICES=1 (as .ci/run sets it) a missing one is a failure; without it, the tests that
need it say why they were left out. Loaded by pyproject.toml, so that every test folder has it.
"""

import os
import shutil
import socket
from collections.abc import Callable, Iterator
from urllib.parse import urlsplit

import pytest

DATABASE_FIXTURES = {"db", "transactional_db", "django_db_setup", "live_server"}


def _missing(what: str) -> None:
    if os.environ.get("REQUIRE_SERVICES") == "1":
        pytest.fail(f"{what} is not there, and REQUIRE_SERVICES=1 asks for it", pytrace=False)
    pytest.skip(f"{what} is not on this machine")


def _answers(url: str, port: int) -> bool:
    parts = urlsplit(url)
    try:
        with socket.create_connection((parts.hostname or "127.0.0.1", parts.port or port), 2):
            return True
    except OSError:
        return False


@pytest.fixture(scope="session")
def postgres_url() -> str:
    url = os.environ.get("POSTGRES_URL", "postgres://postgres@127.0.0.1:5432/postgres")
    if not _answers(url, 5432):
        _missing(f"PostgreSQL at {url}")
    return url


@pytest.fixture
def redis_url() -> Iterator[str]:
    """An emptied numbered database of a real Redis, one for each process that runs tests."""
    import redis

    worker = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))
    url = f"{os.environ.get('REDIS_URL', 'redis://127.0.0.1:6379')}/{15 - worker % 15}"
    if not _answers(url, 6379):
        _missing(f"Redis at {url}")
    with redis.Redis.from_url(url) as client:
        client.flushdb()
        yield url
        client.flushdb()


@pytest.fixture(scope="session")
def found_tool() -> Callable[[str], str]:
    """The path of a program of the machine: soffice, pdftotext, pdfinfo."""

    def path_of(name: str) -> str:
        found = shutil.which(name)
        if found is None:
            _missing(name)
        return str(found)

    return path_of


@pytest.fixture(scope="session")
def chromium_path() -> str:
    names = [os.environ.get("CHROMIUM"), "chromium", "chromium-browser", "google-chrome"]
    found = next((path for name in names if name and (path := shutil.which(name))), None)
    if found is None:
        _missing("Chromium")
    return str(found)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests that take a database by fixture get the mark too: `-m django_db` finds them all."""
    for item in items:
        if DATABASE_FIXTURES & set(getattr(item, "fixturenames", ())):
            item.add_marker("django_db")
