"""What reading a cell can say: a fault (not stored), or a warning (stored and listed)."""

from __future__ import annotations

from dataclasses import dataclass

# What a person may choose instead: (what it says, the text that is then read).
Offers = tuple[tuple[str, str], ...]


class CellFault(Exception):
    """The text is no value of its column; where `question` is set, a form asks before refusing."""

    def __init__(
        self, code: str, sentence: str, *, question: bool = False, offers: Offers = ()
    ) -> None:
        super().__init__(sentence)
        self.code, self.sentence = code, sentence
        self.question, self.offers = question, offers


@dataclass(frozen=True)
class CellWarning:
    """The value is stored; a form asks first where `question` is set."""

    code: str
    sentence: str
    question: bool = False
    offers: Offers = ()
