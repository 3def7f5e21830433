"""Rate and target: peritonitis, exit site and tunnel over time, and both targets side by side."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Chart
from reports.charts.rate_over_time import Told, rate_over_time
from reports.charts.two_targets import two_targets
from reports.dashboard.material import Material
from reports.dashboard.sections.clustered import clustering_note
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.findings import rate_headline, targets_text, years_to_tell_text

Row = dict[str, Any]
RATE, FREE = "peritonitis_rate", "peritonitis_free_share"
_ALONE = "A single quarter is a small dot: alone it tells little."


def section(m: Material) -> PageSection:
    return PageSection(
        "rate", "Rate",
        "Four quarters to each point. Counted × 365.25 ÷ days at risk; exact range, 95 %.",
        (_peritonitis(m), _targets(m), *(_catheter(m, site) for site in _SITES)),
        (clustering_note(m),),
    )  # fmt: skip


def over_time(m: Material, measure: str) -> tuple[list[Row], list[Row]]:
    """The rolling years to this quarter, and the single quarters."""
    figures = m.figures
    years = figures.undivided(measure, figures.rolling_years(m.quarter))
    while len(years) > 1 and not years[0]["denominator"]:  # before there was anything to count
        years.pop(0)
    return years, figures.undivided(measure, figures.quarters(m.quarter))


def _peritonitis(m: Material) -> Chart:
    years, quarters = over_time(m, RATE)
    wait = years_to_tell_text(m.figures.row(m.year, RATE))
    note = f"Peritonitis, counted episodes per patient-year. {_ALONE} {wait}".rstrip()
    told = Told(title=rate_headline(years), note=note)
    return rate_over_time(years, quarters, told, m.lead, m.flags(RATE))


def _targets(m: Material) -> Chart:
    rows = [m.figures.row(m.year, measure) for measure in (RATE, FREE)]
    return two_targets([row for row in rows if row], targets_text(*rows), m.lead)


_SITES = {"exit_site": "exit-site infection", "tunnel": "tunnel infection"}


def _catheter(m: Material, site: str) -> Chart:
    measure, name = f"{site}_infection_rate", _SITES[site]
    years, quarters = over_time(m, measure)
    title = rate_headline(years).replace("The rate", f"The rate of {name}")
    title = title.replace("range of the rate", f"range of the rate of {name}")
    note = f"{name.capitalize()}s counted per patient-year, four quarters to each point. {_ALONE}"
    told = Told(f"{site}_over_time", title, f"Rate of {name} per patient-year", note)
    return rate_over_time(years, quarters, told, m.lead, m.flags(measure))
