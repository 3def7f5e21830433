"""Each episode has one mark of the page's set: shape the category, filled = counted."""

import re
from pathlib import Path

import pytest

from surveillance.marks import contamination_mark, episode_mark, training_mark

SPRITE = Path("clinic/templates/clinic/marks.html").read_text(encoding="utf-8")
DRAWN = set(re.findall(r'id="mark-([^"]+)"', SPRITE))
SEQUENCES = ("new", "relapsing", "recurrent", "repeat", "undetermined")


@pytest.mark.parametrize(
    "case, expected",
    [
        (("peritonitis", "confirmed", "new", True), "new"),
        (("peritonitis", "confirmed", "relapsing", False), "relapsing-open"),
        (("peritonitis", "unconfirmed", "", False), "unconfirmed-open"),
        (("peritonitis", "not_confirmed", "", False), "not_confirmed-open"),
        (("exit_site", "confirmed", "repeat", True), "exit_site"),
        (("tunnel", "not_confirmed", "", False), "tunnel-open"),
    ],
)
def test_mark_of_a_case(case, expected):
    assert episode_mark(*case) == expected


def test_every_mark_is_drawn():
    marks = {
        episode_mark("peritonitis", "confirmed", one, c) for one in SEQUENCES for c in (True, False)
    }
    marks.add(episode_mark("peritonitis", "confirmed", "same_episode", False))
    marks |= {
        episode_mark("peritonitis", one, "", False) for one in ("unconfirmed", "not_confirmed")
    }
    marks |= {
        episode_mark(one, "confirmed", "new", c)
        for one in ("exit_site", "tunnel")
        for c in (True, False)
    }
    marks |= {
        training_mark(k, c) for k in ("initial", "scheduled", "triggered") for c in (True, False)
    }
    marks |= {contamination_mark(kind, p) for kind in ("wet", "dry") for p in (True, False)}
    marks |= {
        "met",
        "not_met",
        "not_assessable",
        "overdue",
        "pd",
        "pause",
        "catheter",
        "removed",
        "admission",
    }
    assert marks <= DRAWN
