"""The two set-ups as a whole house each: files and SQLite, or Redis and PostgreSQL."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.house import House, opened, postgres_database


@pytest.fixture(params=["embedded", "grown_up"])
def any_house(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[House]:
    name = "grown_up_house" if request.param == "grown_up" else "embedded_house"
    yield request.getfixturevalue(name)


@pytest.fixture
def embedded_house(tmp_path: Path) -> Iterator[House]:
    with opened(House(tmp_path)) as house:
        yield house


@pytest.fixture
def grown_up_house(tmp_path: Path, postgres_url: str, redis_url: str) -> Iterator[House]:
    with (
        postgres_database(postgres_url, f"house_{os.getpid()}") as url,
        opened(House(tmp_path, url, redis_url)) as house,
    ):
        yield house
