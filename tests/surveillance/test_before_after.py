"""Before and after a decision, by hand from a handful of rows; the ratio by a second route."""

from datetime import date

import pytest
from scipy import stats

from surveillance.before_after import before_after, change_text, ratio_text


def case(patient: str, onset_on: str, **more: str) -> dict[str, str]:
    return {
        "patient": patient, "episode": f"E{onset_on}", "onset_on": onset_on,
        "kind": "peritonitis", "counts": "yes", "confirmed": "confirmed", "sequence": "new",
        "culture_group": "positive",
    } | more  # fmt: skip


def stretch(first: str, last: str, state: str = "at_risk") -> dict[str, str]:
    return {"patient": "P1", "started_on": first, "last_day_on": last, "state": state}


ALL_TIME = [stretch("2024-01-01", "2026-12-31") for _ in range(20)]


def test_the_windows_are_equally_long_and_the_days_own_one_is_after():
    """By hand: 1 to 31 July are 31 days, so before are 31 May to 30 June; 20 patients each."""
    cases = [case("P1", "2025-05-30"), case("P1", "2025-06-30"), case("P2", "2025-07-01")]
    found = before_after(
        "peritonitis_rate", cases, ALL_TIME, date(2025, 7, 1), date(2025, 7, 31)
    )  # fmt: skip
    assert (found.before.first, found.before.last) == (date(2025, 5, 31), date(2025, 6, 30))
    assert (found.before.count, found.before.over) == (1, 620)
    assert (found.after.count, found.after.over) == (1, 620)
    assert found.after.value == pytest.approx(365.25 / 620)


def test_the_ratio_has_the_exact_range_of_a_binomial_share():
    """Second route: given 1 + 10 episodes the first is binomial; scipy's own exact limits."""
    cases = [case(f"P{day}", f"2025-07-{day:02d}") for day in (3,)]
    cases += [case(f"P{day}", f"2025-06-{day:02d}") for day in range(5, 15)]
    found = before_after(
        "peritonitis_rate", cases, ALL_TIME, date(2025, 7, 1), date(2025, 7, 30)
    )  # fmt: skip
    share = stats.binomtest(1, 11).proportion_ci(0.95, "exact")
    low, high = (one / (1 - one) for one in (share.low, share.high))
    assert found.ratio.exact == pytest.approx((low, high))
    assert high < 1 and change_text(found.ratio) == "lower than before, beyond chance"
    assert ratio_text(found.ratio).startswith("After over before: 0.10, exact 95 % range 0.0")


def test_off_risk_days_and_uncounted_rows_stay_out():
    ledger = [stretch("2025-06-21", "2025-07-05"), stretch("2025-07-06", "2025-07-31", "off_risk")]
    cases = [case("P1", "2025-07-02", counts="no"), case("P1", "2025-07-03", kind="tunnel")]
    found = before_after("peritonitis_rate", cases, ledger, date(2025, 7, 1), date(2025, 7, 10))
    assert (found.before.over, found.after.over, found.after.count) == (10, 5, 0)
    assert "No episode before or after: no ratio" in ratio_text(found.ratio)


def test_nobody_at_risk_is_no_rate_and_no_ratio():
    found = before_after("peritonitis_rate", [], [], date(2025, 7, 1), date(2025, 7, 10))
    assert (found.before.value, found.after.value, found.ratio) == (None, None, None)


def test_an_infection_of_both_sites_counts_once():
    cases = [
        case("P1", "2025-07-02", kind=kind, episode="C1", counts="yes")
        for kind in ("exit_site", "tunnel")
    ]
    days = (date(2025, 7, 1), date(2025, 7, 10))
    counts = [
        before_after(measure, cases, ALL_TIME, *days).after.count
        for measure in ("exit_site_infection_rate", "catheter_infection_rate")
    ]
    assert counts == [1, 1]


def test_a_share_is_of_the_confirmed_episodes_and_has_no_ratio():
    cases = [
        case("P1", "2025-07-02", culture_group="culture_negative", counts="no"),
        case("P2", "2025-07-03"),
        case("P3", "2025-07-03", culture_group="culture_negative", confirmed="not_confirmed"),
        case("P4", "2025-07-04", culture_group="culture_negative", sequence="same_episode"),
    ]
    found = before_after(
        "culture_negative_share", cases, ALL_TIME, date(2025, 7, 1), date(2025, 7, 10)
    )  # fmt: skip
    assert (found.after.count, found.after.over, found.ratio) == (1, 2, None)
    assert found.before.value is None


def test_a_day_that_has_not_come_has_no_after():
    assert before_after("peritonitis_rate", [], [], date(2025, 7, 2), date(2025, 7, 1)) is None
