"""What a load changes in rows that are stored already: kept, then written one row at a time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import F

from clinic.checks import CheckRow
from clinic.models import MODELS


@dataclass(slots=True)
class Change:
    """A stored row and the cells that a file fills or alters: column -> (old, new)."""

    stored: CheckRow
    row: CheckRow
    cells: dict[str, tuple[Any, Any]]


def apply_change(change: Change, links: dict[str, Any]) -> None:
    """The row as a person would have amended it: a new version; `links` are its foreign keys."""
    where = change.stored.where
    new = {name: pair[1] for name, pair in change.cells.items()}
    rows = MODELS[where.subject].objects.filter(pk=where.pk)
    rows.update(**new, **links, version=F("version") + 1)
