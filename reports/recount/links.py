"""Where a Recount leads: to files with its rows, to episodes, to further pages of its ledger."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.urls import reverse

from clinic.models import CatheterInfection, Peritonitis
from reports.addresses import quarter_address
from reports.rate_report.period_text import path_text, quarter_of
from reports.recount.lists import CaseLine
from surveillance.models import Snapshot

_NAMES = {
    "cases": "CSV of the episodes",
    "ledger": "CSV of the ledger",
    "days": "CSV of the days by band",
    "measures": "CSV of the figures",
}


def file_links(snapshot: Snapshot, row: dict[str, Any]) -> list[tuple[str, str]]:
    """Only tables that are stored for the period have a file."""
    period = row["period"]
    stored = set(snapshot.tables.filter(period=period).values_list("table", flat=True))
    place = [snapshot.clinic.uid, snapshot.uid]
    return [
        (name, reverse("report_file", args=[*place, table, path_text(period), "csv"]))
        for table, name in _NAMES.items() if table in stored
    ]  # fmt: skip


def back_link(snapshot: Snapshot, period: str) -> str:
    """Quarter, of this very version; a month or a year has no page of its own."""
    return quarter_address(snapshot, quarter_of(period)) if "-Q" in period else ""


def linked(snapshot: Snapshot, cases: list[CaseLine]) -> list[CaseLine]:
    """The clinic's own people go from a row to its episode in the record, while it stands there."""
    pages = _episodes(snapshot, "peritonitis", cases) | _episodes(snapshot, "infection", cases)
    place = snapshot.clinic.uid
    return [
        replace(one, address=reverse("episode", args=[place, pages[key]])) if key in pages else one
        for one in cases for key in [_key(one)]
    ]  # fmt: skip


def _key(line: CaseLine) -> tuple[bool, str, str]:
    case = line.case
    return case["kind"] == "peritonitis", case["patient"], case["episode"]


def _episodes(
    snapshot: Snapshot, what: str, cases: Iterable[CaseLine]
) -> dict[tuple[bool, str, str], UUID]:
    is_peritonitis = what == "peritonitis"
    model, name = (Peritonitis, "episode") if is_peritonitis else (CatheterInfection, "infection")
    named = [one.case["episode"] for one in cases if _key(one)[0] == is_peritonitis]
    rows = model.objects.filter(
        patient__clinic=snapshot.clinic, withdrawn_at=None, **{f"{name}__in": named}
    )
    found = rows.values_list("patient__number", name, "uid")
    return {(is_peritonitis, patient, episode): uid for patient, episode, uid in found}


def page_number(asked: str, pages: int) -> int:
    """The page asked for, held within those that there are."""
    return min(max(int(asked), 1), pages) if asked.isdecimal() else 1


def page_links(request: HttpRequest, page: int, pages: int) -> list[tuple[str, str, bool]]:
    """The pages of a long ledger and which is open; what was typed in the form stays."""
    found = []
    for number in range(1, pages + 1) if pages > 1 else ():
        query = request.GET.copy()
        query["page"] = str(number)
        found.append((f"Page {number}", f"?{query.urlencode()}#days", number == page))
    return found
