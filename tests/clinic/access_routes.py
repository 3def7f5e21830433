"""Where each capability can be tried over HTTP: pages, and the API's routes of every subject."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from clinic.actions.rights import RIGHTS
from clinic.api.subjects import list_capability
from tests.clinic.access_world import World

FOUND, CONTENT = 200, 400


@dataclass(frozen=True)
class Route:
    """A request, and the answer to who may; `{clinic}` stands for the clinic's uid."""

    capability: str
    method: str
    address: str
    allowed: int = FOUND
    subject: str = ""  # whose row's uid `{uid}` is

    @property
    def of_clinic(self) -> bool:
        return "{clinic}" in self.address

    def address_in(self, world: World, code: str) -> str:
        rows = world.rows[code]
        uid = rows[self.subject].uid if self.subject else ""
        return self.address.format(clinic=rows["clinics"].uid, uid=uid)


_CLINIC = "/clinic/{clinic}/"
PAGES = (
    Route("account.own_sessions", "GET", "/account/"),
    Route("account.own_activity", "GET", "/account/activity/"),
    Route("account.change_own_password", "GET", "/account/password/"),
    Route("token.create_own", "GET", "/account/tokens/new/"),
    Route("user.list", "GET", "/people/"),
    Route("user.invite", "GET", "/people/invite/"),
    Route("grant.give_auditor", "GET", "/people/auditor/"),
    Route("api.schema", "GET", "/api/schema/"),
    Route("clinic.read", "GET", "/api/clinics/{clinic}/"),
    Route("morning_list.read", "GET", f"{_CLINIC}today/"),
    Route("patient.list", "GET", f"{_CLINIC}patients/"),
    Route("patient.record", "GET", f"{_CLINIC}patients/new/"),
    Route("patient.read", "GET", f"{_CLINIC}patients/{{uid}}/", subject="patients"),
    Route("episode.read", "GET", f"{_CLINIC}episodes/{{uid}}/", subject="peritonitis"),
    Route("clinic.read", "GET", f"{_CLINIC}settings/"),
    Route("baseline.amend", "GET", f"{_CLINIC}settings/phase/"),
    Route("dashboard.signals", "GET", f"{_CLINIC}watch/"),
    Route("action_log.read", "GET", f"{_CLINIC}decisions/"),
    Route("action_log.write", "GET", f"{_CLINIC}decisions/new/"),
    Route("quarter.list_versions", "GET", f"{_CLINIC}report/"),
)


def _of_subject(subject: str) -> Iterator[Route]:
    rights = RIGHTS[subject]
    many = f"/api/clinics/{{clinic}}/{subject}/"
    one = f"{many}{{uid}}/"
    yield Route(list_capability(rights.read), "GET", many)
    yield Route(rights.record, "POST", many, CONTENT)
    yield Route(rights.read, "GET", one, subject=subject)
    yield Route(rights.amend, "PATCH", one, CONTENT, subject)
    yield Route(rights.withdraw, "POST", f"{one}withdraw/", CONTENT, subject)


ROUTES = (*PAGES, *(route for subject in RIGHTS for route in _of_subject(subject)))
