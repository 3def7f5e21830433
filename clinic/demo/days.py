"""Lets the demonstration stand on an earlier day for a while: its past has its own dates."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date


@contextmanager
def on_day(day: date) -> Iterator[None]:
    """What is written inside is written on this day, at the clock's time of it."""
    before = os.environ.get("TODAY")
    os.environ["TODAY"] = day.isoformat()
    try:
        yield
    finally:
        if before is None:
            del os.environ["TODAY"]
        else:
            os.environ["TODAY"] = before
