"""The lines of Today as the page draws them, and the sentence above them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.urls import reverse

from clinic import call_words
from clinic.decisions import Standing
from clinic.due import Arrival, Due
from clinic.models import Call, Clinic
from clinic.views.around import home_of

_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


@dataclass(frozen=True)
class Line:
    """One row as the page draws it."""

    due: Due
    when: str
    over: bool
    home: str
    address: str  # of the form; empty for who may only read


def line(due: Due, clinic: Clinic, over: int, may_write: bool) -> Line:
    """`over` is the number of days since it was due."""
    verb, subject, row = due.form
    address = reverse(verb, args=[clinic.uid, subject, row.uid]) if may_write else ""
    when = f"{over} {'day' if over == 1 else 'days'} over" if over else due.when
    return Line(due, when, over > 0, home_of(due.row), address)


def sections(lines: Iterable[Line]) -> list[dict[str, object]]:
    """Overdue, then due; a section without a line is left out."""
    overdue, due = [], []
    for one in lines:
        (overdue if one.over else due).append(one)
    drawn = (
        ("overdue", "Overdue", "The earliest first.", overdue),
        ("due", "Due today", "Days count from the first antibiotic.", due),
    )
    return [
        {"id": key, "name": name, "note": note, "lines": rows}
        for key, name, note, rows in drawn if rows
    ]  # fmt: skip


def waiting_line(call: Call) -> dict[str, object]:
    expected = call_words.expected_text(call)
    return {
        "call": call,
        "patient": call.peritonitis.patient,
        "clock": call_words.clock_text(call, call.called_at),
        "what": f"Cloudy bag, expected by {expected}" if expected else "Cloudy bag",
        "detail": call_words.detail(call),
    }


def arrived_line(arrival: Arrival, clinic: Clinic, day: date) -> dict[str, object]:
    """When it was entered, whose, what it says, and the episode that it belongs to."""
    at = arrival.at.astimezone(clinic.zone)
    return {
        "clock": f"{at:%H:%M}" if at.date() == day else f"{at.day} {at:%b}, {at:%H:%M}",
        "patient": arrival.patient,
        "what": arrival.what,
        "detail": f"sample {arrival.sample.sample}; entered by {arrival.actor}",
        "home": home_of(arrival.sample),
    }


def decision_line(one: Standing, said: str, day: date) -> dict[str, object]:
    """`said`: what became of the figure that the decision should move."""
    over = (day - one.due_on).days if one.due_on else 0
    return {
        "row": one.decision,
        "when": f"{over} {'day' if over == 1 else 'days'} over" if over else "today",
        "over": over > 0,
        "said": said,
    }


def finding(
    waiting: int, lines: list[Line], arrived: int, signals: int = 0, reviews: int = 0
) -> str:
    """The counts in one sentence."""
    overdue = sum(one.over for one in lines)
    said = [
        (waiting, f"{_number(waiting)} {_many('patient', waiting)} on the way"),
        (overdue, f"{_number(overdue)} overdue"),
        (len(lines) - overdue, f"{_number(len(lines) - overdue)} due today"),
        (arrived, f"{_number(arrived)} {_many('result', arrived)} newly arrived"),
        (signals, f"{_number(signals)} {_many('signal', signals)} that nobody has looked at"),
        (reviews, f"{_number(reviews)} {_many('decision', reviews)} to review"),
    ]
    text = ", ".join(words for count, words in said if count)
    return f"{text[0].upper()}{text[1:]}." if text else "Nothing is due today."


def _many(one: str, count: int) -> str:
    return one if count == 1 else f"{one}s"


def _number(count: int) -> str:
    return _WORDS[count] if count < len(_WORDS) else str(count)
