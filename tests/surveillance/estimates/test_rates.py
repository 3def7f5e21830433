"""Mid-P limits, the chance to meet the target, reliability and looks, on counts made by hand."""

import math
from datetime import date

import pytest

from surveillance.tables import YES
from tests.surveillance.estimates.found import estimate_rows, estimates
from tests.surveillance.records import AS_OF, cells_met, make_record, peritonitis, spell
from tests.surveillance.results import rows_of

# Twenty patients at risk all of 2025 and 2024; eight of them with one episode each in 2025.
PEOPLE = [{"patient": f"P{number:02d}"} for number in range(20)]
RECORD = make_record(
    patients=PEOPLE,
    pd_spells=[spell("2024-01-01", patient=number) for number in range(20)],
    trainings=[
        {"patient": number, "completed_on": "2024-12-31", "kind": "initial"} for number in range(20)
    ],
    peritonitis=[
        peritonitis(f"E{number}", "2025-05-01", "2025-05-15", patient=number) for number in range(8)
    ],
    effluent_samples=[cells_met(number, "2025-05-01") for number in range(8)],
    catheter_infections=[
        {
            "patient": 9,
            "infection": "X1",
            "site": "exit_site",
            "onset_on": "2025-02-01",
            "purulent_discharge": YES,
        }
    ],
)
YEARS = 20 * 365 / 365.25


@pytest.fixture(scope="module")
def found():
    return estimates(RECORD)


def test_mid_p_limits_of_eight_in_twenty_years(found):
    # statistics.md 2.3: (8, 20) 0.1858-0.7596; here 20 x 365 days
    row = found["peritonitis_rate", "", "midp_poisson"]
    assert row["value"] == pytest.approx(8 / YEARS)
    assert row["lower"] * YEARS == pytest.approx(0.18576978724 * 20, rel=1e-7)
    assert row["upper"] * YEARS == pytest.approx(0.75957476716 * 20, rel=1e-7)


def test_no_episode_has_the_one_sided_upper_limit(found):
    # statistics.md 2.3: x = 0: -ln(0.05) / T
    row = found["tunnel_infection_rate", "", "midp_poisson"]
    assert (row["value"], row["lower"]) == (0, 0)
    assert row["upper"] == pytest.approx(-math.log(0.05) / YEARS)


def test_a_catheter_infection_is_in_its_site_and_in_both(found):
    for name in ("exit_site_infection_rate", "catheter_infection_rate"):
        assert found[name, "", "midp_poisson"]["value"] == pytest.approx(1 / YEARS)


def test_the_chance_that_the_true_rate_meets_the_target(found):
    # statistics.md 2.4, Jeffreys: (8, 20) 0.4762 at exactly 20 years; a little less at 19.986
    row = found["peritonitis_rate_meets_target", "", "gamma_jeffreys"]
    assert row["value"] == pytest.approx(0.4762, abs=0.001)
    assert (row["lower"], row["note"]) == (None, "target 0.4")
    assert ("tunnel_infection_rate_meets_target", "", "gamma_jeffreys") not in found


def test_bands_of_the_training_clock_have_limits_too(found):
    # onset 121 days after the training, and 91 of the 365 days of each patient
    row = found["peritonitis_rate", "91-181", "midp_poisson"]
    assert row["split"] == "time_since_training"
    assert row["value"] == pytest.approx(8 * 365.25 / (20 * 91))
    assert found["peritonitis_rate_meets_target", "182-364", "gamma_jeffreys"]["value"] > 0.8


def test_the_rule_set_of_2016_has_its_own_target():
    rows = estimate_rows(RECORD, rule_set="rule_2016")
    chances = {row["name"]: row["note"] for row in rows if row["method"] == "gamma_jeffreys"}
    assert chances == {"peritonitis_rate_meets_target": "target 0.5"}


@pytest.mark.parametrize(
    ("name", "percent", "note"),
    [
        # statistics.md 2.18: 100 / sqrt(x)
        ("peritonitis_rate", 100 / math.sqrt(8), ""),
        ("exit_site_infection_rate", 100, ""),
        ("tunnel_infection_rate", None, "no episode"),
    ],
)
def test_relative_standard_error(found, name, percent, note):
    row = found[f"{name}_relative_standard_error_percent", "", "poisson"]
    assert row["value"] == (None if percent is None else pytest.approx(percent))
    assert row["note"] == note


def test_a_quarter_of_twenty_patients_is_under_five_patient_years():
    row = estimates(RECORD, "2025-Q1")[
        "peritonitis_rate_relative_standard_error_percent", "", "poisson"
    ]
    assert row["note"] == "no episode; under 5 patient-years"


def test_looks_are_the_figures_with_limits(found):
    rows = [row for row in rows_of(RECORD, "measures") if row["period"] == "2025"]
    shown = [row for row in rows if row["interval"] and row["denominator"] > 0]
    assert found["looks_count", "", "count"]["value"] == len(shown)
    targets = [row for row in shown if row["verdict"]]
    assert found["target_looks_count", "", "count"]["value"] == len(targets) == 4
    # statistics.md 2.21: 1 - 0.95^k
    chance = found["target_looks_chance_of_one_false", "", "independent_looks"]
    assert chance["value"] == pytest.approx(1 - 0.95**4)


def test_without_time_at_risk_there_is_no_rate_and_no_chance():
    record = make_record(pd_spells=[spell("2024-02-01", "2024-03-01")])
    found = estimates(record, "2025-Q1", as_of=date(2025, 12, 31))
    assert date(2025, 12, 31) == AS_OF
    row = found["peritonitis_rate", "", "midp_poisson"]
    assert (row["value"], row["lower"], row["upper"]) == (None, None, None)
    assert found["peritonitis_rate_meets_target", "", "gamma_jeffreys"]["value"] is None
