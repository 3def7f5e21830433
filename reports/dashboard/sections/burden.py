"""Patients who carry the burden: how many had none, one, two or more; who, on a page of its own."""

from __future__ import annotations

from collections import Counter

from django.urls import reverse

from reports.charts.burden import Step, burden
from reports.charts.chart import Chart
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.case_rows import is_at_risk, is_episode
from reports.rate_report.number_text import counted_text

FREE = "peritonitis_free_share"


def section(m: Material) -> PageSection:
    chart = _chart(m)
    return PageSection(
        "patients", "Burden",
        "Confirmed peritonitis with onset at risk in the year, relapses too.",
        (chart,) if chart else (),
        links=_links(m),
    )  # fmt: skip


def _links(m: Material) -> tuple[tuple[str, str], ...]:
    if not m.sight.sees_repeat_patients:
        return ()
    address = reverse("repeat_patients", args=[m.snapshot.clinic.uid, m.quarter])
    return (("Who they are, and the next step for each", f"{address}?version={m.snapshot.uid}"),)


def _chart(m: Material) -> Chart | None:
    free = m.figures.row(m.year, FREE)
    if free is None or not free["denominator"]:
        return None
    own = Counter(
        case["patient"] for case in m.cases(m.year) if is_episode(case) and is_at_risk(case)
    )
    many = Counter(min(number, 3) for number in own.values())
    together = Counter[int]()
    for number in own.values():
        together[min(number, 3)] += number
    steps = [Step("None", free["numerator"], 0)]
    steps += [Step(name, many[n], together[n]) for n, name in _NAMES.items()]
    return burden(steps, _title(own), _NOTE, m.lead(free), "")


_NAMES = {1: "One", 2: "Two", 3: "Three or more"}
_NOTE = "A patient with several is met with a question, not with blame: what can be made easier?"


def _title(own: Counter[str]) -> str:
    total = own.total()
    if not total:
        return "Nobody had an episode in this year."
    several = [number for number in own.values() if number > 1]
    if not several:
        return f"{counted_text(total, 'episode', 'episodes')}, each in another patient."
    people = counted_text(len(several), "patient", "patients")
    return f"{people} with several had {sum(several)} of the {total} episodes."
