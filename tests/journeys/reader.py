"""One signed-in person at a browser: opens pages, and keeps what was wrong with any of them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Literal

import html5lib
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, ConsoleMessage, Page

from tests.journeys.service import Service

# WCAG 2.2 A and AA, as the open-source rules engine axe-core names them.
STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]
OPTIONS = {"runOnly": {"type": "tag", "values": STANDARDS}, "resultTypes": ["violations"]}


@dataclass
class Reader:
    page: Page
    service: Service
    faults: list[str] = field(default_factory=list)

    def hear(self, message: ConsoleMessage) -> None:
        """A refused style, script or picture is said on the console."""
        if message.type in ("error", "warning"):
            self.faults.append(f"{self.page.url} console: {message.text}")

    @property
    def clinic(self) -> str:
        """Address of the clinic whose page stands open."""
        return "/".join(self.page.url.split("/")[:5])

    def look(self) -> None:
        """Hold the open page against the HTML standard, WCAG and its own width."""
        parser = html5lib.HTMLParser()
        # The server may close a kept connection just as it is used again: asked once more.
        parser.parse(self.page.request.get(self.page.url, max_retries=3).text())
        self.faults += [f"{self.page.url} HTML: {error}" for error in parser.errors[:3]]
        self.look_again()

    def look_again(self) -> None:
        """The same page in other colours or of another width."""
        for fault in Axe().run(self.page, options=OPTIONS).response["violations"]:
            where = [node["target"] for node in fault["nodes"]][:3]
            self.faults.append(f"{self.page.url} {fault['id']}: {fault['help']} {where}")
        if self.page.evaluate("document.documentElement.scrollWidth > window.innerWidth + 1"):
            self.faults.append(f"{self.page.url} scrolls sideways")

    def open(self, path: str) -> None:
        self.page.goto(path if path.startswith("http") else self.service.address + path)
        self.look()

    def follow(self, name: str) -> None:
        """Click the link of this name, and look at what opens."""
        self._click("link", name)

    def press(self, name: str) -> None:
        """Press the button whose name begins so, and look at what opens."""
        self._click("button", name)

    def _click(self, role: Literal["link", "button"], name: str) -> None:
        begins = re.compile(f"^{re.escape(name)}")
        self.page.locator("main").get_by_role(role, name=begins).first.click()
        self.page.wait_for_load_state()
        self.look()


def sign_in(browser: Browser, service: Service, who: str, width: int, scheme: str) -> Reader:
    """A fresh browser window of this width and colour scheme, signed in."""
    window = browser.new_context(
        viewport={"width": width, "height": 900},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    reader = Reader(window.new_page(), service)
    reader.page.on("console", reader.hear)
    reader.open("/sign-in")
    reader.page.fill("input[name=username]", who)
    reader.page.fill("input[name=password]", service.password)
    reader.page.click("main button[type=submit]")
    reader.page.wait_for_load_state()
    reader.look()
    return reader
