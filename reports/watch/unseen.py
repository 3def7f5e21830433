"""Signals that nobody has looked at yet, as lines of Today."""

from __future__ import annotations

from django.http import HttpRequest

from clinic.models import Clinic
from clinic.roles import can
from clinic.signal_work import NEW
from reports.watch.page import line_of
from reports.watch.sight import READ, watched
from surveillance.words import day_text


def unseen_signals(request: HttpRequest, clinic: Clinic) -> list[dict[str, str]]:
    """The first sentence of each; a line leaves when somebody says that it is seen, and stays
    open on Watch."""
    if not can(request.user, READ, clinic):
        return []
    seen = watched(request, clinic)
    lines = [line_of(seen, one) for one in seen.signals if one.state == NEW]
    return [
        {
            "when": day_text(one.signal.window_end), "name": one.name,
            "says": f"{one.signal.sentence.split('. ')[0].rstrip('.')}.", "address": one.address,
        }
        for one in lines
    ]  # fmt: skip
