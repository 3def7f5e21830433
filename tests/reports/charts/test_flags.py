"""A flag's words stay on the drawing, wherever its line stands."""

import re
from datetime import date

import pytest

from reports.charts.flags import Flag, flags_drawn
from surveillance.drawing import text_width

SAYS = "all reassessed within 60 days"
DAY = date(2025, 1, 31)


@pytest.mark.parametrize(("x", "width"), [(20, 1184), (1100, 1184), (180, 358), (20, 358)])
def test_the_words_begin_and_end_inside(x: float, width: float):
    drawn = flags_drawn([Flag(DAY, SAYS)], lambda day: x, 4, 300, width)
    attributes = re.search(r"<text([^>]*)>all reassessed", drawn)
    assert attributes is not None
    at = float(re.search(r'x="([\d.]+)"', attributes.group(1)).group(1))
    left = at - text_width(SAYS) if 'text-anchor="end"' in attributes.group(1) else at
    assert left >= 0
    assert left + text_width(SAYS) <= width


def test_a_day_outside_the_drawing_has_no_flag():
    assert "flag" not in flags_drawn([Flag(DAY, SAYS)], lambda day: None, 4, 300, 358)
