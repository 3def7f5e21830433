"""The patients with several episodes in a year, by record number: inside the clinic only."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.urls import reverse

from clinic.models import Patient
from reports.addresses import quarter_address
from reports.rate_report.case_rows import is_at_risk, is_episode
from reports.rate_report.names import ORGANISM_GROUPS
from reports.rate_report.period_text import iso_day_text, period_text, rolling_year
from reports.rate_report.tables import Cells, stored_table
from reports.reading_log import log_read
from reports.state_text import head_cells
from surveillance.models import Snapshot
from surveillance.words import sequence_text

REPEAT = "dashboard.repeat_patients"


@dataclass(frozen=True)
class Carrier:
    """One patient with the episodes of the year, and the page to go on from."""

    patient: str
    episodes: list[str]
    address: str


def repeat_patients_page(request: HttpRequest, snapshot: Snapshot, quarter: str) -> dict[str, Any]:
    """Stored case rows; whose lines are shown is logged first."""
    year = rolling_year(quarter)
    carriers = _carriers(snapshot, stored_table(snapshot, "cases", year).rows)
    log_read(
        snapshot, by=request.user, page=request.path, numbers=[one.patient for one in carriers],
        source=request.META.get("REMOTE_ADDR", ""),
    )  # fmt: skip
    return {
        "page_name": "Quarter", "title_detail": f"patients with several episodes, {year}",
        "head_cells": head_cells(snapshot, period_text(year)), "clinic": snapshot.clinic,
        "snapshot": snapshot, "carriers": carriers, "back": quarter_address(snapshot, quarter),
    }  # fmt: skip


def _carriers(snapshot: Snapshot, cases: list[Cells]) -> list[Carrier]:
    own: dict[str, list[Cells]] = defaultdict(list)
    for case in cases:
        if is_episode(case) and is_at_risk(case):
            own[case["patient"]].append(case)
    several = {patient: held for patient, held in own.items() if len(held) > 1}
    pages = _pages(snapshot, several)
    ordered = sorted(several, key=lambda one: (-len(several[one]), one))
    return [
        Carrier(patient, [_said(case) for case in several[patient]], _address(pages, patient))
        for patient in ordered
    ]


def _said(case: Cells) -> str:
    organism = ORGANISM_GROUPS.get(case["organism_group"], case["organism_group"])
    return f"{iso_day_text(case['onset_on'])}, {sequence_text(case['sequence'])}: {organism}"


def _pages(snapshot: Snapshot, several: dict[str, Any]) -> dict[str, tuple[UUID, UUID]]:
    found = Patient.objects.filter(clinic=snapshot.clinic, number__in=several, withdrawn_at=None)
    return {
        number: (snapshot.clinic.uid, uid) for number, uid in found.values_list("number", "uid")
    }


def _address(pages: dict[str, tuple[UUID, UUID]], patient: str) -> str:
    """A patient withdrawn since has no page any more."""
    return reverse("patient", args=pages[patient]) if patient in pages else ""
