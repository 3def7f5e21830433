"""The days at risk behind a figure: a line a patient, a mark at each onset."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from reports.charts.chart import Chart
from reports.charts.ledger_layout import NARROW_SHEET, WIDE_SHEET, drawn
from reports.rate_report.number_text import counted_text, whole_text
from reports.recount.ledger import PatientDays
from surveillance.words import day_text

PATIENTS_A_PAGE = 64


@dataclass(frozen=True)
class Onset:
    """One mark on the ledger."""

    patient: str
    on: date
    mark: str  # name in the page's set of marks: new, relapsing-open ...
    said: str  # counted, or why not


def ledger_pages(lines: Sequence[PatientDays]) -> int:
    return max(1, -(-len(lines) // PATIENTS_A_PAGE))


def ledger_picture(
    lines: Sequence[PatientDays],
    onsets: Sequence[Onset],
    first: date,
    stop: date,
    page: int = 1,
) -> Chart:
    """`first` and `stop` (the day after the last) bound the period; at most 64 lines a page."""
    start = (page - 1) * PATIENTS_A_PAGE
    shown = list(lines)[start : start + PATIENTS_A_PAGE]
    marks = _of_patients(onsets, shown)
    summary = _summary(lines, onsets)
    return Chart(
        name="ledger",
        title=_title(lines, onsets),
        summary=summary,
        note=_note(lines, shown, start),
        columns=("Patient", "Days at risk", "Episodes"),
        rows=tuple((held.patient, held.days, len(marks[held.patient])) for held in shown),
        shown_rows=tuple(
            (held.patient, whole_text(held.days), _told(marks[held.patient])) for held in shown
        ),
        svg=drawn(shown, marks, (first, stop), WIDE_SHEET, summary),
        svg_narrow=drawn(shown, marks, (first, stop), NARROW_SHEET, summary),
        figure=_figure(shown, marks),
    )


def _of_patients(onsets: Sequence[Onset], shown: Sequence[PatientDays]) -> dict[str, list[Onset]]:
    held: dict[str, list[Onset]] = {line.patient: [] for line in shown}
    for onset in sorted(onsets, key=lambda one: one.on):
        if onset.patient in held:
            held[onset.patient].append(onset)
    return held


def _told(onsets: Sequence[Onset]) -> str:
    return "; ".join(f"{day_text(one.on)}, {one.said}" for one in onsets)


def _filled(onsets: Sequence[Onset]) -> int:
    return sum(not one.mark.endswith("-open") for one in onsets)


def _title(lines: Sequence[PatientDays], onsets: Sequence[Onset]) -> str:
    days = counted_text(sum(held.days for held in lines), "day", "days")
    marks = counted_text(_filled(onsets), "filled mark", "filled marks")
    return f"{days}, {marks}: both parts of the figure in one ledger."


def _note(lines: Sequence[PatientDays], shown: Sequence[PatientDays], start: int) -> str:
    key = (
        "A line is days at risk; a dotted gap is a stopping pause, not counted. "
        "A mark is an onset: filled counted, open not, cross ruled out."
    )
    if len(shown) == len(lines):
        return key
    days = whole_text(sum(held.days for held in shown))
    part = f"Patients {start + 1} to {start + len(shown)} of {len(lines)} are drawn here"
    return f"{key} {part}: {days} of the days; the others are on the next pages and in the CSV."


def _summary(lines: Sequence[PatientDays], onsets: Sequence[Onset]) -> str:
    days = whole_text(sum(held.days for held in lines))
    patients = counted_text(len(lines), "patient", "patients")
    episodes = counted_text(len(onsets), "episode", "episodes")
    return f"{patients}, {days} days at risk, {episodes}, {_filled(onsets)} counted."


def _figure(shown: Sequence[PatientDays], marks: dict[str, list[Onset]]) -> dict[str, object]:
    xs: list[str | None] = []
    ys: list[str | None] = []
    for held in shown:
        for stretch in held.stretches:
            if stretch.state == "at_risk":
                xs += [stretch.first.isoformat(), stretch.last.isoformat(), None]
                ys += [held.patient, held.patient, None]
    flat = [one for held in shown for one in marks[held.patient]]
    data = [
        {"type": "scatter", "mode": "lines", "name": "Days at risk", "x": xs, "y": ys},
        {"type": "scatter", "mode": "markers", "name": "Onsets", "text": [one.said for one in flat],
         "x": [one.on.isoformat() for one in flat], "y": [one.patient for one in flat]},
    ]  # fmt: skip
    total = {"text": f"{sum(held.days for held in shown)} days at risk"}
    return {"data": data, "layout": {"title": total, "yaxis": {"autorange": "reversed"}}}
