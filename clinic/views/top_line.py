"""The pages of the top line, and whose they are: only those that the person may open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.urls import reverse

from clinic.models import Clinic, Grant, Person
from clinic.roles import can, clinics_where, grants_now


@dataclass(frozen=True)
class Page:
    """One entry of the top line."""

    name: str
    url_name: str
    capability: str
    holds: tuple[str, ...] = ()  # further addresses that belong to this page
    of_clinic: bool = True  # its address names a clinic


@dataclass(frozen=True)
class Front:
    """Where a person starts in one clinic."""

    clinic: Clinic
    roles_text: str
    page: str
    address: str


# In the order of the top line; later issues add theirs here.
PAGES = (
    Page("Today", "today", "morning_list.read", ("local_text",)),
    Page("Call", "call", "episode.record", ("new_call", "open_call", "red_flags")),
    Page(
        "Patients",
        "patients",
        "patient.list",
        (
            "patient",
            "new_patient",
            "episode",
            "new_episode",
            "add",
            "amend",
            "withdraw",
            "dissent",
            "ask_second",
            "give_second",
            "episode_part",
            "restore",
        ),
    ),
    Page("Quarter", "quarter", "dashboard.clinic_frozen", ("computation",)),
    Page(
        "Watch",
        "watch",
        "dashboard.signals",
        (
            "signal",
            "signal_rule",
            "signal_note",
            "signal_close",
            "signal_step",
            "clinic_settings",
            "agree_phase",
            "withdraw_phase",
        ),
    ),
    Page("Decisions", "decisions", "action_log.read", ("new_decision", "review_decision")),
    Page("Report", "report", "quarter.list_versions", ("recount", "report_version", "prepare")),
    Page("Gaps", "gaps", "duplicate_list.read", ("settle_gap", "map_name")),
    Page(
        "People",
        "people",
        "user.list",
        ("person", "invite", "give_grant", "give_audit", "end_grant", "new_link", "close_account"),
        of_clinic=False,
    ),
)
# The page a role opens with: the first of these that one of the person's roles has.
_FIRST = {
    "nurse": "Today",
    "data_manager": "Today",
    "director": "Quarter",
    "network_officer": "Quarter",
    "auditor": "Report",
}


def top_line(request: HttpRequest) -> dict[str, Any]:
    """Context of every page: who reads it, and the pages open to this person, in their order."""
    person = getattr(request, "user", None)
    if person is None or not person.is_authenticated:
        return {}
    asked = request.resolver_match.kwargs.get("clinic_uid") if request.resolver_match else None
    links = [link for page in PAGES if (link := _link(request, person, page, asked))]
    here = next((name for name, _, current in links if current), "")
    return {"pages": links, "person_label": person.name, "page_name": here}


def _link(
    request: HttpRequest, person: Person, page: Page, asked: UUID | None
) -> tuple[str, str, bool] | None:
    """The page in the clinic that is open, or else in the first that the person has it for."""
    address = _address(person, page, asked)
    if address is None:
        return None
    name = request.resolver_match.url_name if request.resolver_match else ""
    here = name == page.url_name or name in page.holds
    return page.name, address, here


def _address(person: Person, page: Page, asked: UUID | None) -> str | None:
    if not page.of_clinic:
        return reverse(page.url_name) if can(person, page.capability) else None
    clinics = clinics_where(person, page.capability)
    clinic = clinics.filter(uid=asked).first() or clinics.first()
    return reverse(page.url_name, args=[clinic.uid]) if clinic is not None else None


def front_pages(person: Person) -> list[Front]:
    """One entry for each clinic that the person has a role in."""
    by_clinic: dict[Clinic, list[Grant]] = {}
    for grant in grants_now(person):
        if grant.clinic is not None:
            by_clinic.setdefault(grant.clinic, []).append(grant)
    ordered = sorted(by_clinic.items(), key=lambda pair: pair[0].code)
    return [_front(clinic, grants) for clinic, grants in ordered]


def _front(clinic: Clinic, grants: list[Grant]) -> Front:
    roles = [grant.role for grant in grants]
    said = ", ".join(grant.role_text for grant in grants)
    first = next(name for role, name in _FIRST.items() if role in roles)
    page = next(page for page in PAGES if page.name == first)
    return Front(clinic, said, first, reverse(page.url_name, args=[clinic.uid]))
