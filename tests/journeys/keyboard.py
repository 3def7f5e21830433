"""A person who has a keyboard and nothing else; scripts are off, the pointer is never used."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import Browser, Page

from tests.journeys.reader import sign_in
from tests.journeys.service import Service

MOST_TABS = 250
_FOCUSED = """() => {
  const e = document.activeElement;
  const ringed = one => getComputedStyle(one).outlineStyle !== 'none';
  const said = e.getAttribute('aria-label') || e.innerText || '';
  return {tag: e.tagName, type: e.type || '', name: e.name || '', value: e.value || '',
          said: said.replace(/\\s+/g, ' ').trim(), ringed: ringed(e) || ringed(e.parentElement)};
}"""
_ORDER = """() => new Intl.DateTimeFormat().formatToParts(new Date())
  .map(part => part.type).filter(type => type !== 'literal')"""
_TWELVE_HOURS = """() =>
  new Intl.DateTimeFormat([], {hour: 'numeric'}).resolvedOptions().hour12"""


@dataclass
class Keyboard:
    """Reaches everything by Tab, chooses by arrows and space, follows by Enter."""

    page: Page
    unringed: list[str] = field(default_factory=list)  # controls whose focus could not be seen

    @property
    def text(self) -> str:
        return self.page.inner_text("main")

    @property
    def title(self) -> str:
        return self.page.inner_text("h1")

    @property
    def clinic(self) -> str:
        return "/".join(self.page.url.split("/")[:5])

    def open(self, address: str) -> None:
        """Type the address, as for a bookmark."""
        self.page.goto(address)

    def _tab_to(self, wanted: str, **looks: str) -> dict[str, Any]:
        """Tab until the control that looks so has the focus."""
        for _ in range(MOST_TABS):
            self.page.keyboard.press("Tab")
            now = self.page.evaluate(_FOCUSED)
            if all(re.match(pattern, now[part]) for part, pattern in looks.items()):
                if not now["ringed"]:
                    self.unringed.append(f"{self.page.url} {wanted}")
                return now
        raise AssertionError(f"{self.page.url}: Tab never comes to {wanted}")

    def follow(self, name: str) -> None:
        self._tab_to(f"link {name}", tag="A$", said=re.escape(name))
        self._enter()

    def press(self, name: str) -> None:
        self._tab_to(f"button {name}", tag="BUTTON$", said=re.escape(name))
        self._enter()

    def _enter(self) -> None:
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")

    def type(self, name: str, text: str) -> None:
        self._tab_to(name, name=f"{name}$", tag="(INPUT|TEXTAREA)$")
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def day(self, name: str, iso: str) -> None:
        """The browser's own date box: its parts in the order of the browser's own country."""
        self._tab_to(name, name=f"{name}$")
        self.page.keyboard.type("".join(self._parts(iso)))

    def moment(self, name: str, iso: str) -> None:
        day, clock = iso.split("T")
        self.day(name, day)
        self.page.keyboard.press("ArrowRight")
        hour, minute = map(int, clock.split(":"))
        if self.page.evaluate(_TWELVE_HOURS):
            half = "P" if hour > 11 else "A"
            self.page.keyboard.type(f"{hour % 12 or 12:02d}{minute:02d}{half}")
        else:
            self.page.keyboard.type(f"{hour:02d}{minute:02d}")

    def _parts(self, iso: str) -> list[str]:
        parts = dict(zip(("year", "month", "day"), iso.split("-"), strict=True))
        return [parts[one] for one in self.page.evaluate(_ORDER)]

    def choose(self, name: str, value: str) -> None:
        """One of a group: Tab enters it once, arrows move and choose within."""
        now = self._tab_to(name, name=f"{name}$", type="radio")
        if now["value"] == value:
            self.page.keyboard.press("Space")
        for _ in range(20):
            if self.page.evaluate(_FOCUSED)["value"] == value:
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{self.page.url}: no arrow leads to {name} = {value}")

    def tick(self, name: str, value: str) -> None:
        self._tab_to(f"{name} = {value}", name=f"{name}$", value=f"{value}$", type="checkbox")
        self.page.keyboard.press("Space")


def at_keyboard(browser: Browser, service: Service, who: str, width: int) -> Keyboard:
    """Signed in, then scripts off."""
    state = sign_in(browser, service, who, width, "light").page.context.storage_state()
    window = browser.new_context(
        viewport={"width": width, "height": 900}, java_script_enabled=False,
        storage_state=state,
    )  # fmt: skip
    keyboard = Keyboard(window.new_page())
    keyboard.open(service.address)
    return keyboard
