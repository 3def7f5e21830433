"""The words of a signal's sentence: days, groups of organisms, how often luck does as much."""

from __future__ import annotations

from datetime import timedelta
from functools import lru_cache

from surveillance.cases.organisms import GROUPS
from surveillance.periods import EPOCH
from surveillance.words import day_text

WATER = "water"
_NAMES = {
    "coagulase_negative_staphylococcus": "coagulase-negative staphylococci",
    "staphylococcus_aureus": "Staphylococcus aureus",
    "escherichia_coli": "Escherichia coli",
    "other_enterobacterales": "other Enterobacterales",
    "other_gram_positive": "other gram-positive organisms",
    "other_gram_negative": "other gram-negative organisms",
    "anaerobe": "anaerobes",
    "fungal": "fungi",
    "mycobacterial": "mycobacteria",
    "other_organism": "other organisms",
    WATER: "water organisms (Pseudomonas, Acinetobacter, Stenotrophomonas)",
}
GROUP_WORDS = {name: _NAMES.get(name, name.capitalize()) for name in (*GROUPS, WATER)}

# Lines that may raise an alarm in one clinic: the rate, and each group of organisms.
LINES = 1 + len(GROUP_WORDS)
LOOKS = f"It is one of {LINES} lines watched here."


@lru_cache(maxsize=50_000)
def day_words(day: int) -> str:
    """A day since 1970-01-01 as 14 Mar 2025. Test: tests/surveillance/signals/test_words.py."""
    return day_text(EPOCH + timedelta(days=day))


@lru_cache(maxsize=50_000)
def luck_words(per_year: float) -> str:
    """How often luck raises such a line: "about once in 8.7 years". Test: test_words.py."""
    if per_year != per_year or per_year <= 0:
        return "practically never"
    if per_year > 1:
        return f"about {per_year:.1f} times a year"
    years = 1 / per_year
    if years >= 10_000:
        return "less than once in 10,000 years"
    return (
        f"about once in {years:,.1f} years" if years < 10 else f"about once in {years:,.0f} years"
    )


def counted_words(number: int, one: str, more: str) -> str:
    """A number with its noun: "1 episode", "no episodes". Test: test_words.py."""
    return f"{number or 'no'} {one if number == 1 else more}"


def episodes(number: int) -> str:
    """Test: test_words.py."""
    return counted_words(number, "episode", "episodes")
