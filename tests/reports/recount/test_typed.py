"""The reader's own count: agrees to the last digit typed, however the number is written."""

import pytest

from reports.recount.steps import Step
from reports.recount.typed import compare

RATE = Step("A4", "Rate", "", 0.34400277, "=A1/A3")
DAYS = Step("A2", "Days at risk", "", 18050, "", is_whole=True)


@pytest.mark.parametrize(
    ("typed", "step", "is_same"),
    [
        ("18050", DAYS, True),
        ("18,050", DAYS, True),
        ("18 050", DAYS, True),
        ("18.050", DAYS, True),
        ("18051", DAYS, False),
        ("0.344", RATE, True),
        ("0,344", RATE, True),
        ("0.34", RATE, True),
        ("0.35", RATE, False),
        ("0.3440028", RATE, True),
        ("0", RATE, None),
        ("seventeen", DAYS, None),
        ("", DAYS, None),
        ("-18050", DAYS, None),
        ("nan", RATE, None),
    ],
)
def test_a_typed_count_is_the_same_not_the_same_or_not_to_be_told(
    typed: str, step: Step, is_same: bool | None
) -> None:
    assert compare(typed, step).is_same is is_same


def test_a_wrong_count_is_told_what_stands_here() -> None:
    assert compare("18049", DAYS).words == "differs: 18,050 here"
