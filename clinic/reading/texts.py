"""Reads text, and guards every cell against characters that nobody can see."""

from __future__ import annotations

import unicodedata
from zoneinfo import ZoneInfo

from clinic.columns import Column
from clinic.reading.faults import CellFault
from clinic.reading.limits import NOTE_CHARACTERS, TEXT_CHARACTERS
from clinic.reading.words import thousands

# A laboratory's own words keep tabs and line ends as they were written.
_WORDS_BLANKS = " \u00a0"
_WORDS_CONTROLS = "\t\n\r"
_FILLERS = frozenset("\u115f\u1160\u3164\uffa0\u034f")  # letters by category, blank to the eye


def without_outer_blanks(column: Column, text: str) -> str:
    return text.strip(_WORDS_BLANKS) if column.kind == "organism" else text.strip()


def require_storable(text: str) -> None:
    """What no database keeps alike, whatever the column: a null, half a character, a stray byte."""
    if "\x00" in text:
        raise CellFault("null_character", "contains a null character")
    for character in text:
        if "\ud800" <= character <= "\udfff":
            raise CellFault("not_utf8", _broken(ord(character)))


def _broken(number: int) -> str:
    if 0xDC80 <= number <= 0xDCFF:
        return f"byte {number - 0xDC00:02X} is not UTF-8"
    return f"half a character (U+{number:04X})"


def read_text(column: Column, text: str) -> str:
    """NFC, so that one name has one spelling; what looks like another name is refused."""
    text = unicodedata.normalize("NFC", text)
    if len(text) > TEXT_CHARACTERS:
        length = thousands(len(text))
        raise CellFault("text_long", f"at most {TEXT_CHARACTERS} characters, this has {length}")
    if not text.isprintable() or not _FILLERS.isdisjoint(text):
        _require_visible(column, text)
    if column.name == "time_zone":
        _require_zone(text)
    return text


def read_note(column: Column, text: str) -> str:
    """Free text of several lines: kept as written, control characters apart."""
    text = unicodedata.normalize("NFC", text.replace("\r\n", "\n"))
    if len(text) > NOTE_CHARACTERS:
        length = thousands(len(text))
        raise CellFault("text_long", f"at most {NOTE_CHARACTERS} characters, this has {length}")
    for character in text:
        if unicodedata.category(character) == "Cc" and character not in _WORDS_CONTROLS:
            raise CellFault("control_character", f"control character U+{ord(character):04X}")
    return text


def _require_visible(column: Column, text: str) -> None:
    free = column.kind == "organism"
    for character in text:
        category = unicodedata.category(character)
        if category == "Cc" and not (free and character in _WORDS_CONTROLS):
            raise CellFault("control_character", f"control character U+{ord(character):04X}")
        if not free and (category in ("Zl", "Zp", "Cf") or character in _FILLERS):
            raise CellFault("hidden_character", _hidden(character))


def _hidden(character: str) -> str:
    code = f"U+{ord(character):04X}"
    turns = unicodedata.bidirectional(character) in _DIRECTIONS or character in "\u200e\u200f\u061c"
    return f"hidden direction character {code}" if turns else f"invisible character {code}"


_DIRECTIONS = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})


def _require_zone(text: str) -> None:
    try:
        ZoneInfo(text)
    except (KeyError, ValueError, OSError):
        sentence = "not a known IANA time zone, such as Europe/London"
        raise CellFault("time_zone", sentence) from None
