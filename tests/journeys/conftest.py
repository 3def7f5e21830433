"""The service and the browser that the journeys share."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.journeys.service import Service, built_once, demonstration

# The browser speaks over pipes and finds no network; what it would ask there is switched off.
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Shared by all processes that run tests: building takes longer than most journeys."""
    own = tmp_path_factory.getbasetemp()
    return built_once(own.parent if "PYTEST_XDIST_WORKER" in os.environ else own)


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory, built: Path) -> Iterator[Service]:
    """Each file's journeys write into a copy of their own."""
    with demonstration(tmp_path_factory.mktemp("journey"), built) as running:
        yield running


@pytest.fixture(scope="module")
def browser(chromium_path: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium_path, args=QUIET)
        yield started
        started.close()
