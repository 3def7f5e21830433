"""Both judgements of where an episode came from, side by side; or how the second one stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from clinic.actions.second_judgements import RIGHT
from clinic.blinding import is_hidden, is_judged
from clinic.forms.words import choice_label
from clinic.roles import can


@dataclass(frozen=True)
class Second:
    """A sentence, and which form this person may open."""

    says: str
    may_ask: bool = False
    may_give: bool = False


def second_judgement(episode: Any, reader: Any) -> Second | None:
    """Nothing until there is a first judgement to compare with."""
    if is_hidden(episode, reader):
        return Second("The first judgement is hidden from you until yours is saved.", False, True)
    if not is_judged(episode):
        return None
    row = getattr(episode, "second_judgement", None)
    may_ask = can(reader, RIGHT, episode)
    if row is None:
        return Second("Judged once so far.", may_ask)
    if row.judged_at is None:
        return Second(f"{row.judge.name} is asked and has not judged yet.", may_ask)
    return Second(_side_by_side(episode, row))


def _side_by_side(episode: Any, row: Any) -> str:
    """Director Hazel, without sight of the first: the bowel, probable. The first said …: …"""
    words = (choice_label("route", row.route), row.certainty, _prevented(row.preventable))
    told = ", ".join(filter(None, words))
    said = f"{row.judge.name}, without sight of the first: {told}."
    review = episode.rootcausereview_rows.filter(withdrawn_at=None).order_by("-reviewed_on").first()
    if review is None or not review.route:
        return said
    same = "The two agree" if review.route == row.route else "The two differ"
    return f"{said} {same} on the route; the first: {choice_label('route', review.route)}."


def _prevented(answer: str) -> str:
    said = {"yes": "preventable", "partly": "partly preventable", "no": "not preventable"}
    return said.get(answer, "")
