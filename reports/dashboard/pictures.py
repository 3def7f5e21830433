"""The pictures of Quarter: each section with its chart, each sentence with its drawn verdict."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from reports.addresses import recount_address
from reports.charts.chart import Chart
from reports.charts.organisms import organisms
from reports.charts.rate_over_time import rate_over_time
from reports.charts.training_clock import training_clock
from reports.charts.verdict_strip import VerdictStrip, verdict_strip
from reports.rate_report.sections import CLOCKS, Section
from reports.rate_report.sentences import Sentence
from surveillance.models import Snapshot

_CLOCK_WORDS = dict(
    zip(CLOCKS, ("any training", "initial", "scheduled", "after an infection"), strict=True)
)


@dataclass(frozen=True)
class Answer:
    """One sentence beside its range against its line."""

    sentence: Sentence
    strip: VerdictStrip | None


@dataclass(frozen=True)
class Shown:
    """One section as the page draws it."""

    section: Section
    chart: Chart
    links: list[tuple[str, str]]


def answers(sentences: list[Sentence]) -> list[Answer]:
    return [Answer(one, _strip(one)) for one in sentences]


def _strip(sentence: Sentence) -> VerdictStrip | None:
    """A change is drawn as the year before on the scale of this year, which stands above it:
    against one line it would hide that both years have a range."""
    if sentence.before is not None:
        return verdict_strip(sentence.before, label="the year before")
    return verdict_strip(sentence.row) if sentence.row else None


def _rate(section: Section) -> Chart:
    return rate_over_time(section.rows["years"], section.rows["quarters"], section.headline)


def _training(section: Section) -> Chart:
    return training_clock(section.rows["bands"], section.rows["whole"], section.headline)


def _organisms(section: Section) -> Chart:
    groups = section.rows["groups"]
    now = [row for _, row, _ in groups if row]
    before = [row for _, _, row in groups if row]
    order = [group for group, _, _ in groups]
    years = (section.rows["now"], section.rows["before"])
    return organisms(now, before, order, years, section.headline)


_DRAW = {"rate": _rate, "training": _training, "organisms": _organisms}


def pictured(section: Section, snapshot: Snapshot, quarter: str) -> Shown:
    """A section with its chart and the links below it."""
    place = [snapshot.clinic.uid, quarter, section.key]
    links = [("CSV", f"{reverse('section_numbers', args=place)}?version={snapshot.uid}")]
    if section.figure is not None:
        links.append(("Recount", recount_address(snapshot, section.figure)))
    if section.key == "training":
        links += _clocks(snapshot, quarter, section.rows["clock"])
    return Shown(section, _DRAW[section.key](section), links)


def _clocks(snapshot: Snapshot, quarter: str, shown: str) -> list[tuple[str, str]]:
    """The other clocks: since the initial, a scheduled or a triggered training."""
    address = f"{reverse('quarter', args=[snapshot.clinic.uid, quarter])}?version={snapshot.uid}"
    return [
        (f"Clock: {_CLOCK_WORDS[clock]}", f"{address}&clock={clock}#training")
        for clock in CLOCKS if clock != shown
    ]  # fmt: skip
