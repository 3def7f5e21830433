"""Template tags of the reports: links from a number to its Recount, periods and days in words."""

from __future__ import annotations

from typing import Any

from django import template

from reports.addresses import recount_address
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


register.filter("period_words", period_text)
register.filter("day_words", iso_day_text)
