"""The sections of Quarter, drawn once: with the snapshot, else at the first look, then kept."""

from __future__ import annotations

import hashlib
import zlib
from functools import cache
from pathlib import Path
from typing import Any

from django.db import IntegrityError, OperationalError, transaction
from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe

from reports.charts.verdict_strip import verdict_scale
from reports.dashboard.answers import answers
from reports.dashboard.asked import decision_asked
from reports.dashboard.material import FLAGGED, Material, Sight
from reports.dashboard.sections import SECTIONS
from reports.decision_flags import flags_of_clinic
from reports.models import DrawnPage
from reports.rate_report.definitions import definitions
from reports.rate_report.denominators import why_more_episodes
from reports.rate_report.figures import Figures
from reports.rate_report.period_text import is_quarter
from reports.rate_report.sentences import five_sentences
from surveillance.models import Snapshot

_HERE = Path(__file__).parents[1]
_DRAWING = ("charts", "dashboard", "rate_report", "templates")
# Other kinds of readers are drawn at their first look.
FIRST_READER = Sight(*[True] * 8)  # a director's


@cache
def _code() -> str:
    """Digest of the drawing code: pictures of an older one are not shown."""
    said = hashlib.sha256()
    for folder in _DRAWING:
        for file in sorted((_HERE / folder).rglob("*.*")):
            if file.suffix in (".py", ".html"):
                said.update(file.read_bytes())
    return said.hexdigest()


def _key(m: Material) -> str:
    flags = [list(m.flags(measure)) for measure in FLAGGED]
    said = (m.quarter, m.sight, m.figures.periods, flags, _code())
    return hashlib.sha256(repr(said).encode()).hexdigest()


def drawn_sections(m: Material) -> SafeString:
    """Sentences, sections and rules as HTML, the same for every reader of one kind."""
    key = _key(m)
    kept = DrawnPage.objects.filter(snapshot=m.snapshot, key=key).values_list("content", flat=True)
    found = kept.first()
    if found is not None:
        return mark_safe(zlib.decompress(found).decode())  # noqa: S308 - our own template made it
    drawn = render_to_string("reports/quarter_drawn.html", _page(m))
    _keep(m.snapshot, key, drawn)
    return drawn


def _page(m: Material) -> dict[str, Any]:
    period = m.year if m.year in m.figures.periods else m.quarter
    cases = m.cases(period)
    return {
        "snapshot": m.snapshot, "clinic": m.snapshot.clinic, "quarter": m.quarter,
        "scale": verdict_scale(),
        "answers": answers(five_sentences(m.figures, period, why_more_episodes(cases))),
        "asked": decision_asked(m.figures, period, m.alarms_of_quarter()),
        "sections": [section(m) for section in SECTIONS],
        "rules": definitions(m.snapshot.rule_set),
        "sight": m.sight,
    }  # fmt: skip


def _keep(snapshot: Snapshot, key: str, drawn: str) -> None:
    """Two readers may draw at once; a draft may be gone meanwhile; a writer may be at work."""
    made = DrawnPage(snapshot=snapshot, key=key, content=zlib.compress(drawn.encode(), 6))
    try:
        with transaction.atomic():
            made.save()
    except (IntegrityError, OperationalError):
        return


def draw_latest(snapshot: Snapshot) -> None:
    """The page that most people open first, drawn with the snapshot."""
    figures = Figures(snapshot)
    quarters = [period for period in figures.periods if is_quarter(period)]
    if quarters:
        flags = flags_of_clinic(snapshot.clinic)
        drawn_sections(Material(figures, max(quarters), FIRST_READER, flags))
