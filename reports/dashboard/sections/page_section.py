"""One section of Quarter: its name in the margin, and its charts."""

from __future__ import annotations

from dataclasses import dataclass

from reports.charts.chart import Chart


@dataclass(frozen=True)
class PageSection:
    """`notes` stand under the charts: cautions, and where to go on."""

    key: str
    name: str
    margin: str
    charts: tuple[Chart, ...]
    notes: tuple[str, ...] = ()
    links: tuple[tuple[str, str], ...] = ()
