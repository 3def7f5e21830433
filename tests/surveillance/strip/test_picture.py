"""The strip draws what was known by its day, in both widths, with the same events in words."""

from datetime import date, timedelta
from xml.etree import ElementTree

import pytest

from surveillance.strip import (
    admission,
    catheter,
    contamination,
    pd_pause,
    pd_spell,
    peritonitis,
    strip,
    training,
    twelve_months_before,
)

TODAY = date(2026, 1, 20)
SPANS = [
    pd_spell(date(2023, 6, 12), date(2024, 7, 30), "capd"),
    pd_pause(date(2024, 7, 31), date(2024, 9, 3), "temporary_haemodialysis"),
    pd_spell(date(2024, 7, 31), None, "apd"),
    catheter(date(2023, 5, 22), None, 1, "open"),
    admission(date(2025, 12, 19), date(2025, 12, 22)),
]
EVENTS = [
    training(date(2023, 6, 16), "initial", "yes"),
    peritonitis(date(2023, 11, 9), "confirmed", "new", "counted_new", ["Staphylococcus aureus"]),
    peritonitis(date(2025, 12, 19), "confirmed", "relapsing", "not_counted_relapse"),
    contamination(date(2024, 2, 14), "dry"),
]
FULL = strip(SPANS, EVENTS, TODAY)


def drawn(svg: str, kind: str) -> list[str]:
    tree = ElementTree.fromstring(svg)
    found = [
        held for held in tree.iter("{http://www.w3.org/2000/svg}g") if held.get("class") == kind
    ]
    return [held.get("data-on") or held.get("data-lane") or "" for held in found]


@pytest.mark.parametrize("svg", [FULL.svg, FULL.svg_narrow])
def test_seven_lanes_and_every_event_are_drawn(svg):
    assert drawn(svg, "lane") == [
        "pd", "catheter", "training", "peritonitis", "catheter_infection", "contamination",
        "admission",
    ]  # fmt: skip
    days = {str(event.on) for event in EVENTS} | {"2025-12-19"}
    assert set(drawn(svg, "event")) == days


@pytest.mark.parametrize("svg", [FULL.svg, FULL.svg_narrow])
def test_drawing_has_a_label_and_no_style(svg):
    assert 'role="img"' in svg and "aria-label=" in svg and "style=" not in svg


def test_words_hold_the_same_events_latest_first():
    days = [word.on for word in FULL.words]
    assert days == sorted(days, reverse=True)
    assert {event.word for event in EVENTS} <= set(FULL.words)


def test_what_comes_later_is_not_drawn():
    early = strip(SPANS, EVENTS, date(2023, 12, 31))
    assert "2025-12-19" not in early.svg
    assert max(word.on for word in early.words) == date(2023, 11, 9)


def test_view_of_twelve_months_leaves_the_rest_out():
    year = strip(SPANS, EVENTS, TODAY, since=twelve_months_before(TODAY))
    assert drawn(year.svg, "event") == ["2025-12-19", "2025-12-19"]
    assert {word.on for word in year.words} == {date(2025, 12, 19)}
    assert twelve_months_before(date(2024, 2, 29)) == date(2023, 2, 28)


def test_empty_lane_says_none_recorded_and_an_empty_record_is_drawn():
    assert FULL.svg.count("none recorded") == 1  # exit site, tunnel
    assert strip([], [], TODAY).svg.count("none recorded") == 7


def test_stopping_pause_is_hatched_and_travel_is_not():
    travel = [
        pd_spell(date(2025, 1, 1), None),
        pd_pause(date(2025, 3, 1), date(2025, 3, 9), "travel"),
    ]
    assert "url(#hatch-strip-wide)" in FULL.svg
    assert "url(#hatch-strip-wide)" not in strip(travel, [], TODAY).svg


def test_crowded_lane_still_draws_every_mark():
    many = [
        peritonitis(TODAY - timedelta(days=2 * index), "confirmed", "repeat", "counted_repeat")
        for index in range(60)
    ]
    held = strip(SPANS, many, TODAY)
    assert len(drawn(held.svg_narrow, "event")) == 61


def test_the_hint_of_the_shades_ends_before_the_line_of_today():
    tree = ElementTree.fromstring(FULL.svg_narrow)
    held = {one.text: one for one in tree.iter("{http://www.w3.org/2000/svg}text")}
    today = next(one for one in tree.iter() if one.get("class") == "line-attention")
    assert float(held["darker: longer since the latest"].get("x")) < float(today.get("x1"))
