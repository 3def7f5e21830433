"""How values appear in messages: days as people write them, odd characters as visible marks."""

from datetime import date

from clinic.reading.limits import SHOWN_CHARACTERS

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def day_text(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1][:3]} {day.year}"


def _visible(character: str) -> str:
    if character.isprintable():
        return character
    number = ord(character)
    if 0xDC80 <= number <= 0xDCFF:  # a byte that was no UTF-8, carried along by the decoder
        return f"\\x{number - 0xDC00:02x}"
    return character.encode("unicode_escape", "surrogatepass").decode("ascii")


def shown(text: str) -> str:
    """One line of at most eighty characters in which nothing is hidden."""
    short = text if len(text) <= SHOWN_CHARACTERS else f"{text[:SHOWN_CHARACTERS]}…"
    return "".join(map(_visible, short))


def thousands(number: float) -> str:
    return f"{number:,.10g}".replace(",", " ")
