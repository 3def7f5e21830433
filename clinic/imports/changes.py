"""Writes what a load changes in rows that are stored already, one row at a time."""

from __future__ import annotations

from typing import Any

from django.db.models import F

from clinic.imports.merge import Change
from clinic.models import MODELS


def apply_change(change: Change, links: dict[str, Any]) -> None:
    """The row as a person would have amended it: a new version; `links` are its foreign keys."""
    where = change.stored.where
    new = {name: pair[1] for name, pair in change.cells.items()}
    rows = MODELS[where.subject].objects.filter(pk=where.pk)
    rows.update(**new, **links, version=F("version") + 1)
