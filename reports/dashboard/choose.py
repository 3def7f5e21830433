"""Which quarter and which version a person meets on Quarter."""

from __future__ import annotations

from uuid import UUID

from django.db.models import QuerySet
from django.http import Http404, HttpRequest

from clinic.models import Clinic, Person
from clinic.roles import can, snapshots_where
from reports.rate_report.period_text import is_quarter
from reports.versions import best_snapshot
from surveillance.models import Snapshot
from surveillance.snapshots import newest_draft, periods

FROZEN, DRAFT = "dashboard.clinic_frozen", "dashboard.clinic_draft"


def sees_drafts(person: Person, clinic: Clinic) -> bool:
    return can(person, DRAFT, clinic)


def _open_to(person: Person, clinic: Clinic) -> QuerySet[Snapshot]:
    held = Snapshot.objects.filter(clinic=clinic).select_related("clinic")
    return snapshots_where(person, FROZEN, held)


def last_quarter(person: Person, clinic: Clinic) -> str:
    """The latest quarter that the person can open; '' if there is none."""
    if not sees_drafts(person, clinic):
        signed = _open_to(person, clinic).order_by("-through").first()
        return signed.through if signed else ""
    draft = newest_draft(clinic)
    found = [one for one in periods(draft) if is_quarter(one)] if draft else []
    frozen = Snapshot.objects.filter(clinic=clinic).exclude(through="")
    return max([*found, *frozen.values_list("through", flat=True)], default="")


def version_for(request: HttpRequest, clinic: Clinic, quarter: str) -> Snapshot | None:
    """The version asked for by its id, else the best one that this person may open."""
    asked = request.GET.get("version")
    if asked:
        return _asked_version(request.user, clinic, asked, quarter)
    if sees_drafts(request.user, clinic):
        return best_snapshot(clinic, quarter, quarter)
    return _open_to(request.user, clinic).filter(through=quarter).order_by("-version").first()


def _asked_version(person: Person, clinic: Clinic, asked: str, quarter: str) -> Snapshot:
    try:
        uid = UUID(asked)
    except ValueError:
        raise Http404 from None
    found = _open_to(person, clinic).filter(uid=uid).first()
    if found is None or quarter not in periods(found):
        raise Http404
    return found
