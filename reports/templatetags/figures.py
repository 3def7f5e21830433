"""Template tags of the reports: links from a number to its Recount, periods and days in words."""

from __future__ import annotations

from itertools import zip_longest
from typing import Any

from django import template

from reports.addresses import recount_address
from reports.charts.chart import Chart
from reports.rate_report.period_text import iso_day_text, period_text
from surveillance.models import Snapshot

register = template.Library()


@register.simple_tag
def recount_url(snapshot: Snapshot, row: dict[str, Any]) -> str:
    return recount_address(snapshot, row)


@register.filter
def unbroken(text: str) -> str:
    """A number and its per cent sign stay on one line."""
    return text.replace(" %", "\u00a0%")


@register.filter
def rows_and_leads(chart: Chart) -> list[tuple[tuple[str, ...], str]]:
    """The rows of a chart's table, each with where it leads."""
    return list(zip_longest(chart.shown_rows, chart.leads, fillvalue=""))


register.filter("period_words", period_text)
register.filter("day_words", iso_day_text)
