"""Plain questions before an odd value is stored: the nurse answers, nothing is guessed."""

from __future__ import annotations

from dataclasses import dataclass

from clinic.forms.fields import CellField
from clinic.reading import CellFault, cell_warnings
from clinic.reading.faults import CellWarning

Said = CellFault | CellWarning


@dataclass(frozen=True)
class Question:
    """What is asked about a typed value, and the texts that an answer stands for."""

    sentence: str
    answers: tuple[tuple[str, str], ...]  # (text that is then read, label)


def question_about(field: CellField, typed: str) -> Question | None:
    """The question that this text asks for in this field, if any."""
    try:
        value = field.read(typed)
    except CellFault as fault:
        return _question(fault, typed) if fault.question else None
    asked = [said for said in cell_warnings(field.column, typed, value) if said.question]
    return _question(asked[0], typed) if asked else None


def _question(said: Said, typed: str) -> Question:
    offers = said.offers or (("Yes, as typed", typed),)
    yes = "Yes, {}" if len(said.offers) == 1 else "{}"
    answers = tuple((text, _sentence_case(yes.format(label))) for label, text in offers)
    return Question(_SENTENCES.get(said.code, _plain)(said, typed), answers)


def _plain(said: Said, typed: str) -> str:
    return f"{_sentence_case(said.sentence)}."


def _cells_unit(said: Said, typed: str) -> str:
    return (
        f"{typed} per µL? Laboratories often report ×10⁹/L: {typed} ×10⁹/L is {said.offers[0][0]}."
    )


def _twice(said: Said, typed: str) -> str:
    return "This time came twice that night, when clocks went back. Which one was it?"


_SENTENCES = {"cells_unit": _cells_unit, "moment_twice": _twice}


def _sentence_case(text: str) -> str:
    return text[0].upper() + text[1:]
