"""Every stored code has its sentence, in a person's words."""

from datetime import date

import pytest

from surveillance.words import day_month_text, day_text, is_counted, reason_text, verdict_text

# design 3.1: counted_ and not_counted_ with these endings, no other.
COUNTED = ("new", "recurrent", "repeat", "undetermined", "relapse_of_uncounted")
NOT_COUNTED = (
    "unconfirmed", "not_confirmed", "same_episode", "before_pd", "paused", "before_training",
    "after_pd", "relapse",
)  # fmt: skip
REASONS = [f"counted_{end}" for end in COUNTED] + [f"not_counted_{end}" for end in NOT_COUNTED]
FORBIDDEN = ("n/a", "null", "invalid", "error", "_")


@pytest.mark.parametrize("reason", REASONS)
@pytest.mark.parametrize("kind", ["peritonitis", "exit_site", "tunnel"])
def test_every_reason_is_a_sentence(reason, kind):
    said = reason_text(reason, kind)
    assert said.startswith("counted") is is_counted(reason)
    assert said.startswith("not counted: ") is not is_counted(reason)
    assert not any(word in said.lower() for word in FORBIDDEN)


def test_relapse_names_the_episode_it_belongs_to():
    said = reason_text("not_counted_relapse", index_onset=date(2025, 3, 3))
    assert said == "not counted: relapse of the episode of 3 Mar 2025"


@pytest.mark.parametrize(
    "verdict, unit, expected",
    [
        ("meets", "patient_days", "meets the target beyond chance"),
        ("misses", "patients", "misses the target beyond chance"),
        ("meets_uncertain", "episodes", "cannot be told from the target"),
        ("misses_uncertain", "episodes", "cannot be told from the target"),
        ("no_data", "patient_days", "nobody was at risk"),
        ("no_data", "patients", "nobody was at risk"),
        ("no_data", "episodes", "nothing to count yet"),
        ("no_data", "catheters", "nothing to count yet"),
        ("", "patient_days", ""),
    ],
)
def test_verdict_is_one_of_the_sentences(verdict, unit, expected):
    assert verdict_text(verdict, unit) == expected


def test_days_for_people():
    assert day_text(date(2025, 3, 14)) == "14 Mar 2025"
    assert day_month_text(date(2025, 11, 1)) == "1 Nov"
    assert day_text(None) == "day not known"
