"""Each event has its mark and says what a person would say."""

from datetime import date

import pytest

from surveillance.strip import (
    admission,
    catheter,
    catheter_infection,
    contamination,
    pd_pause,
    pd_spell,
    peritonitis,
    training,
)
from surveillance.strip.events import short_name

DAY, LATER = date(2025, 12, 19), date(2025, 12, 22)


def said(thing) -> list[str]:
    held = getattr(thing, "words", None) or (thing.word,)
    return [" ".join(part for part in (w.title, w.species, w.text) if part) for w in held]


RELAPSE = ("confirmed", "relapsing", "not_counted_relapse", ["Candida"], date(2025, 11, 17))


@pytest.mark.parametrize(
    "thing, expected",
    [
        (peritonitis(DAY, *RELAPSE),
         "Peritonitis, relapsing. Candida not counted: relapse of the episode of 17 Nov 2025."),
        (peritonitis(DAY, "confirmed", "new", "counted_new", culture_group="culture_negative"),
         "Peritonitis, new. Culture-negative; counted."),
        (peritonitis(DAY, "unconfirmed", "", "not_counted_unconfirmed"),
         "Peritonitis, not confirmed yet. Not counted: cannot tell yet, a criterion is missing."),
        (catheter_infection(DAY, "exit_site", "not_confirmed", "not_counted_not_confirmed"),
         "Exit-site infection, ruled out. Not cultured; not counted: no pus."),
        (catheter_infection(DAY, "tunnel", "confirmed", "counted_new", "no_growth"),
         "Tunnel infection. No growth; counted."),
        (training(DAY, "triggered", "no"),
         "Retraining after an infection, not yet competent."),
        (training(DAY, "initial", ""), "Initial training, outcome not known."),
        (contamination(DAY, "wet", "unknown"),
         "Wet contamination. Whether prophylaxis was given is not known."),
        (admission(DAY, LATER), "Admission. 3 nights."),
        (admission(DAY, None), "Admission. Not discharged yet."),
        (pd_pause(DAY, LATER, "catheter_rest"),
         "PD paused, until 22 Dec 2025. Rest without a catheter; not at risk."),
        (pd_pause(DAY, None, "travel"),
         "PD paused, still going on. Travel; days go on counting as at risk."),
    ],
)  # fmt: skip
def test_words_of_an_event(thing, expected):
    assert said(thing) == [expected]


def test_spell_and_catheter_also_say_their_end():
    assert said(pd_spell(DAY, LATER, "apd", "transplant"))[1] == "APD ends: transplant."
    ended = said(catheter(DAY, LATER, 2, "laparoscopic", "catheter_infection"))
    assert ended == [
        "Second catheter. Inserted: laparoscopic.",
        "Catheter removed. Because of: catheter infection.",
    ]


@pytest.mark.parametrize(
    "name, expected",
    [
        ("Escherichia coli", "E. coli"),
        ("Candida", "Candida"),
        ("Coagulase-negative staphylococci", "Coagulase-negative staphylococci"),
        ("Staphylococcus sp.", "Staphylococcus sp."),
        ("", ""),
    ],
)
def test_species_are_shortened_over_a_mark(name, expected):
    assert short_name(name) == expected
