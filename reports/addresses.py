"""Addresses of figures: where each number on a page leads."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from surveillance.models import Snapshot


def recount_address(snapshot: Snapshot, row: dict[str, Any]) -> str:
    """The Recount of one measure row."""
    place = [snapshot.clinic.uid, snapshot.uid, row["period"], row["measure"]]
    address = reverse("recount", args=place)
    if not row["split"]:
        return address
    return f"{address}?{urlencode({'split': row['split'], 'band': row['band']})}"


def quarter_address(snapshot: Snapshot, quarter: str) -> str:
    """Quarter, of exactly this version."""
    address = reverse("quarter", args=[snapshot.clinic.uid, quarter])
    return f"{address}?version={snapshot.uid}"
