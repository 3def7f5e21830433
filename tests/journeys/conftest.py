"""The service and the browser that the journeys share."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.journeys.service import Service, demonstration

# The browser speaks over pipes and finds no network; what it would ask there is switched off.
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    with demonstration(tmp_path_factory.mktemp("journey")) as running:
        yield running


@pytest.fixture(scope="module")
def browser(chromium_path: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium_path, args=QUIET)
        yield started
        started.close()
