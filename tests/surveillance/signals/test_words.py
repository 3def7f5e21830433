"""Days, counts and luck in words."""

import pytest

from surveillance.signals.words import counted_words, day_words, episodes, luck_words
from tests.surveillance.records import day


def test_a_day_for_people() -> None:
    assert day_words(day("2025-03-14")) == "14 Mar 2025"


@pytest.mark.parametrize(
    ("per_year", "words"),
    [
        (1 / 8.667, "about once in 8.7 years"),
        (1 / 1192.4, "about once in 1,192 years"),
        (1e-9, "less than once in 10,000 years"),
        (2.04, "about 2.0 times a year"),
        (0.0, "practically never"),
        (float("nan"), "practically never"),
    ],
)
def test_how_often_luck_does_it(per_year: float, words: str) -> None:
    assert luck_words(per_year) == words


def test_counts_with_their_nouns() -> None:
    assert [episodes(number) for number in (0, 1, 2)] == ["no episodes", "1 episode", "2 episodes"]
    assert counted_words(1, "patient", "patients") == "1 patient"
