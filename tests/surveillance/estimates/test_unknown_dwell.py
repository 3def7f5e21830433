"""Episodes that only want a known dwell of two hours: how many, and the rate with them."""

import pytest

from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import cells_met, make_record, peritonitis, spell

UNKNOWN = float("nan")
YEARS = 365 / 365.25


def found_for(*samples: tuple[str, str, dict]) -> tuple[float, float]:
    """(rate with them in episodes, how many they are) of episodes with one sample each."""
    record = make_record(
        pd_spells=[spell("2025-01-01")],
        peritonitis=[peritonitis(f"E{n}", on, end) for n, (on, end, _) in enumerate(samples)],
        effluent_samples=[cells_met(n, on, **more) for n, (on, _, more) in enumerate(samples)],
    )
    found = estimates(record)
    count = found["peritonitis_unknown_dwell_count", "", "count"]["value"]
    row = found["peritonitis_rate", "", "with_unknown_dwell"]
    assert row["lower"] <= row["value"] <= row["upper"]
    return row["value"] * YEARS, count


@pytest.mark.parametrize(
    ("more", "wanting"),
    [
        ({"dwell_hours": UNKNOWN}, 1),
        ({"dwell_hours": 1.5}, 0),  # known to be short: standards.md 1.2 does not promote it
        ({"dwell_hours": UNKNOWN, "neutrophil_percent": 50.0}, 0),
        ({"dwell_hours": UNKNOWN, "leucocytes_per_ul": UNKNOWN}, 0),
        ({"dwell_hours": UNKNOWN, "culture": "grown"}, 0),  # confirmed without the cells
    ],
)
def test_who_wants_a_known_dwell_alone(more: dict, wanting: int):
    _, count = found_for(("2025-03-01", "2025-03-15", more))
    assert count == wanting


def test_the_rate_with_them_is_counted_by_the_whole_method():
    first = ("2025-03-01", "2025-03-15", {})
    far = ("2025-06-01", "2025-06-15", {"dwell_hours": UNKNOWN})
    assert found_for(first, far) == (pytest.approx(2), 1)
    same = ("2025-03-10", "2025-03-15", {"dwell_hours": UNKNOWN})
    assert found_for(first, same) == (pytest.approx(1), 1)
