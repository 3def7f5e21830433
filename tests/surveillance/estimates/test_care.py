"""Care: hours to the first antibiotic, sample first, the count of day 5, training overdue."""

import pytest

from surveillance.tables import NO, NO_MOMENT, YES
from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import cells_met, day, make_record, peritonitis, spell

HOUR = 3_600


def at(text: str, hour: float = 0) -> int:
    return int(day(text) * 86_400 + hour * HOUR)


def record_of(episodes: list[dict], samples: list[dict], **tables: list[dict]):
    return make_record(
        patients=[{"patient": f"P{place}"} for place in range(max(1, len(episodes)))],
        pd_spells=[spell("2025-01-01", patient=place) for place in range(max(1, len(episodes)))],
        peritonitis=episodes,
        effluent_samples=samples,
        **tables,
    )


def treated(patient: int, came: float | None, given: float | None) -> dict:
    """An episode of 1 March with hours of presentation and of the first antibiotic, or without."""
    moments = {
        "presented_at": NO_MOMENT if came is None else at("2025-03-01", came),
        "first_antibiotic_at": NO_MOMENT if given is None else at("2025-03-01", given),
    }
    if came is not None:
        moments["presented_on"] = "2025-03-01"
    if given is not None:
        moments["first_antibiotic_on"] = "2025-03-01"
    return peritonitis(f"E{patient}", "2025-03-01", "2025-03-15", patient=patient, **moments)


def test_the_median_of_the_hours_leaves_out_who_has_no_times():
    episodes = [treated(0, 8, 9), treated(1, 8, 12.5), treated(2, None, 9), treated(3, 8, None)]
    record = record_of(episodes, [cells_met(place, "2025-03-01") for place in range(4)])
    row = estimates(record)["presentation_to_antibiotic_hours_median", "", "median"]
    assert row["value"] == pytest.approx((1 + 4.5) / 2)
    assert row["note"] == "left out as unknown: 2"


def test_without_any_times_there_is_no_median():
    record = record_of([treated(0, None, None)], [cells_met(0, "2025-03-01")])
    row = estimates(record)["presentation_to_antibiotic_hours_median", "", "median"]
    assert (row["value"], row["note"]) == (None, "left out as unknown: 1")


@pytest.mark.parametrize(
    ("drawn", "said", "share"),
    [
        (8.5, -1, 1.0),
        (9, -1, 1.0),  # at the same moment is not after
        (9.5, -1, 0.0),
        (9.5, NO, 1.0),  # what was said with the sample decides
        (8.5, YES, 0.0),
        (None, -1, None),
    ],
)
def test_the_sample_before_the_antibiotic(drawn: float | None, said: int, share: float | None):
    moment = NO_MOMENT if drawn is None else at("2025-03-01", drawn)
    sample = cells_met(0, "2025-03-01", collected_at=moment, antibiotics_before=said)
    row = estimates(record_of([treated(0, 8, 9)], [sample]))[
        "sample_before_antibiotic_share", "", "exact_binomial"
    ]
    assert row["value"] == share
    assert row["note"] == ("left out as unknown: 1" if share is None else "")


def test_only_the_earliest_sample_decides():
    first = cells_met(0, "2025-03-01", collected_at=at("2025-03-01", 8))
    later = cells_met(0, "2025-03-02", sample="S2", collected_at=at("2025-03-02", 8))
    row = estimates(record_of([treated(0, 8, 9)], [later, first]))[
        "sample_before_antibiotic_share", "", "exact_binomial"
    ]
    assert row["value"] == 1.0


@pytest.mark.parametrize(
    ("collected_on", "counted", "share"),
    [
        ("2025-03-05", 200.0, 0.0),  # day 4
        ("2025-03-06", 200.0, 1.0),
        ("2025-03-15", 200.0, 1.0),  # the last day under treatment
        ("2025-03-16", 200.0, 0.0),
        ("2025-03-06", float("nan"), 0.0),
    ],
)
def test_the_count_of_day_5(collected_on: str, counted: float, share: float):
    more = {"sample": "S2", "leucocytes_per_ul": counted}
    samples = [cells_met(0, "2025-03-01"), cells_met(0, collected_on) | more]
    row = estimates(record_of([treated(0, 8, 9)], samples))[
        "day_5_count_share", "", "exact_binomial"
    ]
    assert (row["value"], row["note"]) == (share, "")


def test_without_an_antibiotic_no_day_5_is_known():
    row = estimates(record_of([treated(0, 8, None)], [cells_met(0, "2025-03-01")]))[
        "day_5_count_share", "", "exact_binomial"
    ]
    assert (row["value"], row["note"]) == (None, "left out as unknown: 1")


@pytest.mark.parametrize(
    ("completed_on", "share", "note"),
    [
        ("2024-12-31", 1.0, ""),  # day 365 on 31 December
        ("2025-01-01", 0.0, ""),
        (None, None, "left out as unknown: 1"),
    ],
)
def test_training_overdue_on_the_last_day(completed_on, share, note: str):
    done = [{"completed_on": completed_on, "kind": "initial"}] if completed_on else []
    record = make_record(pd_spells=[spell("2024-06-01")], trainings=done)
    row = estimates(record)["training_overdue_share", "", "exact_binomial"]
    assert (row["value"], row["note"]) == (share, note)


def test_who_is_not_at_risk_on_the_last_day_is_not_asked():
    record = make_record(
        pd_spells=[spell("2024-06-01", "2025-12-30")],
        trainings=[{"completed_on": "2024-06-01", "kind": "initial"}],
    )
    assert estimates(record)["training_overdue_share", "", "exact_binomial"]["value"] is None
