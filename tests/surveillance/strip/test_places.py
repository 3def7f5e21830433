"""Near marks stay apart, move as little as need be, and labels never touch."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveillance.drawing import text_width
from surveillance.strip.places import above, beside, spread


@pytest.mark.parametrize(
    "places, expected",
    [
        ([], []),
        ([50], [50]),
        ([10, 50, 90], [10, 50, 90]),
        ([50, 50], [40, 60]),  # both give way
        ([10, 48, 52], [10, 40, 60]),
        ([0, 0], [0, 20]),
        ([99, 100], [80, 100]),
    ],
)
def test_marks_give_way_evenly(places, expected):
    assert spread(places, 20, 0, 100) == pytest.approx(expected)


@given(st.lists(st.floats(0, 1000), max_size=30).map(sorted))
def test_marks_keep_their_order_and_their_gap(places):
    moved = spread(places, 20, 0, 1000)
    assert all(-1e-6 <= place <= 1000 + 1e-6 for place in moved)
    assert all(b - a >= 20 - 1e-6 for a, b in zip(moved, moved[1:], strict=False))


@given(st.lists(st.floats(10, 990), max_size=30).map(sorted), st.sampled_from(["new", "relapsing"]))
def test_labels_never_touch_each_other_or_a_mark(places, said):
    marks = spread(places, 20, 10, 990)
    taken = [(x - 9, x + 9) for x in marks]
    for label in beside(marks, [said] * len(marks), 9, 0, 1000, 13.5):
        wide = text_width(label.said)
        taken.append(
            (label.x, label.x + wide) if label.anchor == "start" else (label.x - wide, label.x)
        )
    taken.sort()
    assert all(
        after[0] >= before[1] - 1e-6 for before, after in zip(taken, taken[1:], strict=False)
    )


def test_label_goes_left_where_the_right_is_taken():
    (label,) = beside([980], ["relapsing"], 9, 0, 1000, 13.5)
    assert label.anchor == "end"


def test_two_close_marks_share_one_label():
    (label,) = beside([950, 975], ["repeat", "relapsing"], 9, 0, 1000, 13.5)
    assert label.said == "repeat, then relapsing"


def test_name_above_that_would_touch_the_one_before_stays_away():
    held = above([100, 110, 400], ["S. aureus", "E. coli", "C. albicans"], 0, 1000, 13.5)
    assert [label.said for label in held] == ["S. aureus", "C. albicans"]
