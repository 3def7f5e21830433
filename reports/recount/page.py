"""What the Recount page shows of one stored figure."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from reports.charts.ledger_picture import ledger_pages
from reports.rate_report.names import figure_text
from reports.rate_report.number_text import whole_text
from reports.rate_report.period_text import period_text
from reports.readers import recipient_of, sees_patients
from reports.reading_log import log_read
from reports.recount import words
from reports.recount.ledger import PatientDays, patient_lines, stretches_text
from reports.recount.links import back_link, file_links, linked, page_links, page_number
from reports.recount.lists import CaseLine, case_lines
from reports.recount.lists_read import Lists, identified_lists, pseudonymised_lists
from reports.recount.picture import ledger_chart
from reports.recount.steps import Step, steps_of
from reports.recount.typed import Answer, compare
from reports.state_text import head_cells
from surveillance.models import Snapshot

Row = dict[str, Any]


@dataclass(frozen=True)
class StepLine:
    """A step beside the reader's own count."""

    step: Step
    answer: Answer


def _lists(request: HttpRequest, snapshot: Snapshot, row: Row) -> Lists:
    if sees_patients(request.user, snapshot):
        return identified_lists(snapshot, row)
    return pseudonymised_lists(snapshot, row, recipient_of(request.user, snapshot))


def _head(snapshot: Snapshot, row: Row) -> list[tuple[str, str]]:
    figure = ("Figure", figure_text(row["measure"], row["split"], row["band"]))
    cells = head_cells(snapshot, period_text(row["period"]), figure)
    return [*cells, ("Snapshot", f"{snapshot.digest[:4]} {snapshot.digest[4:8]} …")]


def recount_page(request: HttpRequest, snapshot: Snapshot, row: Row) -> dict[str, Any]:
    lists = _lists(request, snapshot, row)
    cases = case_lines(lists.cases, row, lists.earlier, lists.said)
    lines = patient_lines(lists.ledger, {one.patient for one in cases})
    is_identified = sees_patients(request.user, snapshot)
    if is_identified:
        _log_read(request, snapshot, lines)
    return (
        _frame(request, snapshot, row, is_identified)
        | _ledger(request, row, lines, cases, is_identified)
        | _cases(snapshot, row, cases, is_identified)
    )


def _log_read(request: HttpRequest, snapshot: Snapshot, lines: list[PatientDays]) -> None:
    log_read(
        snapshot,
        by=request.user,
        page=request.path,
        numbers=[line.patient for line in lines],
        source=request.META.get("REMOTE_ADDR", ""),
    )


def _frame(
    request: HttpRequest, snapshot: Snapshot, row: Row, is_identified: bool
) -> dict[str, Any]:
    return {
        "page_name": "Recount",
        "title_detail": period_text(row["period"]),
        "head_cells": _head(snapshot, row),
        "snapshot": snapshot,
        "clinic": snapshot.clinic,
        "row": row,
        "title": words.title(row),
        "lead": words.lead(row),
        "sheets": words.sheets(row),
        "steps": [StepLine(s, compare(request.GET.get(s.cell, ""), s)) for s in steps_of(row)],
        "files": file_links(snapshot, row),
        "back": back_link(snapshot, row["period"]),
    } | words.formula(row)


def _ledger(
    request: HttpRequest, row: Row, lines: list[PatientDays], cases: list[CaseLine],
    is_identified: bool,
) -> dict[str, Any]:  # fmt: skip
    own = Counter(one.patient for one in cases if one.is_in)
    pages = ledger_pages(lines)
    page = page_number(request.GET.get("page", ""), pages)
    return {
        "who": words.who(lines, is_identified),
        "ledger": ledger_chart(row["period"], lines, cases, page),
        "ledger_finding": words.ledger_finding(row, lines, cases),
        "ledger_limits": words.days_limits(row, lines),
        "stretches": [stretches_text(x, own[x.patient], is_identified) for x in lines],
        "total_days": whole_text(sum(line.days for line in lines)),
        "ledger_pages": page_links(request, page, pages),
    }


def _cases(
    snapshot: Snapshot, row: Row, cases: list[CaseLine], is_identified: bool
) -> dict[str, Any]:
    listed = linked(snapshot, cases) if is_identified else cases
    half = (len(listed) + 1) // 2
    return {
        "cases": [listed[:half], listed[half:]] if len(listed) > _ONE_COLUMN else [listed],
        "rows_name": "Infections" if row["measure"] in _CATHETER else "Episodes",
        "cases_finding": words.cases_finding(row, cases),
        "cases_limits": words.cases_limits(row, cases),
    }


_ONE_COLUMN = 6  # a shorter list is read better in one column
_CATHETER = ("exit_site_infection_rate", "tunnel_infection_rate", "catheter_infection_rate")
