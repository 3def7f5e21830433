"""Small cells are hidden, and cannot be told from their total."""

from itertools import product

import pytest

from surveillance.masking import HIDDEN, small_cells

H = HIDDEN


@pytest.mark.parametrize(
    ("count", "shown"), [(0, 0), (1, H), (4, H), (5, 5)], ids=["zero", "one", "four", "five"]
)
def test_one_to_four_are_hidden_and_zero_is_not(count, shown):
    # statistics.md 2.18: 1-4 in anything that leaves the clinic; zero by policy
    assert small_cells([count]).shown == [shown]


@pytest.mark.parametrize(
    ("row", "total", "shown"),
    [
        ([2, 7, 11], 20, [H, H, 11, 20]),  # statistics.md 2.18, printed example
        ([7, 2, 11], 20, [H, H, 11, 20]),  # the smallest one shown goes too, wherever it stands
        ([2, 7, 7], 16, [H, H, 7, 16]),  # of equals the first
        ([2, 0, 11], 13, [H, 0, H, 13]),  # a zero is no cover while another cell is
        ([2, 0], 2, [H, H, H]),  # nothing else is left: the total goes too
        ([3], 3, [H, H]),
        ([1, 1, 9], 11, [H, H, H, 11]),  # two ones cannot be but 1 and 1
        ([1, 2, 9], 12, [H, H, 9, 12]),  # these could be 2 and 1
        ([0, 0], 0, [0, 0, 0]),
        ([5, 9], 14, [5, 9, 14]),
    ],
)
def test_a_published_total_gives_no_hidden_cell_back(row, total, shown):
    assert small_cells(row, total).shown == shown


def test_without_a_total_one_hidden_cell_is_enough():
    assert small_cells([2, 7, 11]).shown == [H, 7, 11]


def test_another_house_may_hide_up_to_nine():
    # statistics.md 2.18: "or < 10 where the state rule says so"
    assert small_cells([9, 10, 30], 49, hide_to=9).shown == [H, H, 30, 49]


def test_a_count_below_zero_is_refused_with_its_row():
    with pytest.raises(ValueError, match=r"counts are 0 or more, not \[3, -1\]"):
        small_cells([3, -1])


@pytest.mark.parametrize("row", list(product([0, 1, 2, 5, 6], repeat=3)))
def test_whoever_knows_the_total_and_the_rule_still_has_a_choice(row):
    """Every row that would be shown alike: a hidden cell has more than one possible count."""
    shown = small_cells(list(row), sum(row)).shown
    alike = [
        other
        for other in product(range(sum(row) + 1), repeat=3)
        if small_cells(list(other), sum(other)).shown == shown
    ]
    for at, cell in enumerate(shown[:-1]):
        assert cell != H or len({other[at] for other in alike}) > 1
