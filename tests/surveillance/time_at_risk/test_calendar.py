"""Which rows exist (design 2 and 3.3)."""

from datetime import date

import numpy as np

from surveillance.periods import parse_period
from surveillance.time_at_risk.calendar import calendar
from surveillance.time_at_risk.period_order import period_ranks
from surveillance.time_at_risk.seen import seen
from tests.surveillance.records import day, make_record, spell

RECORD = make_record(
    clinics=("A", "B"),
    patients=[{"clinic": 0, "patient": "P"}, {"clinic": 1, "patient": "P"}],
    pd_spells=[spell("2024-06-01"), spell("2025-06-01", patient=1)],
)
AS_OF = date(2025, 9, 30)
WHEN = calendar(seen(RECORD, day("2025-09-30")), AS_OF, None)


def names(clinic, divided, value=1):
    table = np.full((1, len(WHEN.periods)), value)
    _, period = WHEN.rows(np.array([clinic]), table, divided=divided)
    return {WHEN.periods[place].text for place in period}


def test_each_clinic_begins_in_its_own_january():
    assert {"2024-01", "2024", "2025-Q3", "2025-Q3/4q"} <= names(0, divided=False)
    found = names(1, divided=False)
    assert {"2025-01", "2025-09", "2025-Q3"} <= found
    assert not found & {"2024-12", "2025", "2025-Q3/4q", "2025-10"}


def test_bands_have_no_months_and_no_empty_rows():
    assert not {name for name in names(0, divided=True) if parse_period(name).kind == "month"}
    assert names(0, divided=True, value=0) == set()


def test_through_ends_the_rows_earlier():
    early = calendar(seen(RECORD, day("2025-09-30")), AS_OF, "2025-Q1")
    assert max(period.last_day for period in early.periods) == date(2025, 3, 31)


def test_a_year_and_its_four_quarters_are_the_same_days_and_sort_by_text():
    span, text = period_ranks([parse_period("2025-Q4/4q"), parse_period("2025")])
    assert span.tolist() == [0, 0] and text.tolist() == [1, 0]
