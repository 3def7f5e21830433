"""One signal: what it says, its cases and what they share, the look back, the work on it."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from clinic.case_context import Around, case_context
from reports.rate_report.figures import Figures
from reports.rate_report.period_text import rolling_year
from reports.reading_log import log_read
from reports.watch.cases import CaseLine, earlier_cases, window_cases
from reports.watch.lines import line_name, luck_text
from reports.watch.page import head_cells, line_of
from reports.watch.rules_text import RULES
from reports.watch.shared import ShareOf, agents, dates_text, share_among, shared
from reports.watch.sight import Watched
from reports.watch.standing import Signal
from surveillance.models import Snapshot

COMPARED = ("trainer", "modality", "assistance")


def signal_page(request: HttpRequest, watched: Watched, signal: Signal) -> dict[str, Any]:
    """Whose cases are on the page is logged before it is drawn."""
    last = signal.rows[-1] if signal.rows else None
    context = {
        "page_name": "Watch",
        "title_detail": line_name(signal.rule, signal.band),
        "clinic": watched.clinic,
        "watched": watched,
        "signal": signal,
        "line": line_of(watched, signal),
        "last": last,
        "luck": luck_text(last) if last else "",
        "rule": RULES[signal.rule],
        "head_cells": head_cells(watched),
        "worked": signal.worked,
        "addresses": _addresses(watched, signal),
    }
    if watched.sees_episodes and watched.snapshot is not None:
        context |= _cases(request, watched, watched.snapshot, signal)
    return context


def _addresses(watched: Watched, signal: Signal) -> dict[str, str]:
    place = [watched.clinic.uid, *signal.key]
    names = ("signal_seen", "signal_investigate", "signal_note", "signal_close", "signal_lines")
    return {name.removeprefix("signal_"): reverse(name, args=place) for name in names}


def _cases(
    request: HttpRequest, watched: Watched, snapshot: Snapshot, signal: Signal
) -> dict[str, Any]:
    cases, earlier = window_cases(snapshot, signal), earlier_cases(snapshot, signal)
    log_read(
        snapshot, by=request.user, page=request.path,
        numbers=[line.case["patient"] for line in (*cases, *earlier)],
        source=request.META.get("REMOTE_ADDR", ""),
    )  # fmt: skip
    around = case_context(watched.clinic, [(line.key, line.onset_on) for line in cases + earlier])
    held = [around[line.key] for line in cases if line.key in around]
    return {
        "cases": [_with_address(watched, line, around) for line in cases],
        "earlier": [_with_address(watched, line, around) for line in earlier],
        "dates": dates_text([line.onset_on for line in cases]),
        "shared": shared(held, _share_of(snapshot)),
        "agents": agents(held),
        "agent_cases": [line.case["patient"] for line in cases if line.key in around],
    }


def _with_address(
    watched: Watched, line: CaseLine, around: dict[tuple[str, str], Around]
) -> tuple[CaseLine, Around | None, str]:
    found = around.get(line.key)
    address = reverse("episode", args=[watched.clinic.uid, found.uid]) if found else ""
    return line, found, address


def _share_of(snapshot: Snapshot) -> ShareOf:
    """How common a trainer, a modality, a helper is in the last full year."""
    figures = Figures(snapshot)
    quarters = figures.quarters()
    if not quarters:
        return lambda split, band: None
    rows = [
        row for row in figures.rows(rolling_year(quarters[-1]))
        if row["measure"] == "peritonitis_rate" and row["split"] in ("", *COMPARED)
    ]  # fmt: skip
    return share_among(rows)
