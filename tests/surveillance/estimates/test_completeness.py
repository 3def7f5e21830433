"""Bounds of the rates and of the free share, and the words that say which fields are missing."""

import pytest

from surveillance.tables import NO, YES
from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import cells_met, make_record, peritonitis, spell

METHOD = "bounds_for_missing_fields"
YEARS = 2 * 365 / 365.25


def record_of(*episodes: dict, samples: tuple[dict, ...] = (), infections: tuple[dict, ...] = ()):
    return make_record(
        patients=[{"patient": "P1"}, {"patient": "P2"}],
        pd_spells=[spell("2025-01-01", patient=place) for place in (0, 1)],
        peritonitis=list(episodes),
        effluent_samples=list(samples),
        catheter_infections=list(infections),
    )


def bound(found: dict, name: str, way: str) -> tuple[float, str]:
    row = found[f"{name}_{way}", "", METHOD]
    return row["value"] * YEARS, row["note"]


def test_an_unconfirmed_episode_may_count():
    """Cloudy and grown is enough; here only the cells of one and the culture of both are open."""
    record = record_of(
        peritonitis("E1", "2025-03-01", "2025-03-15", patient=0),
        peritonitis("E2", "2025-03-01", "2025-03-15", patient=1),
        samples=(
            {"episode": 0, "collected_on": "2025-03-01", "sample": "S"},
            cells_met(1, "2025-03-01", dwell_hours=float("nan")),
        ),
    )
    found = estimates(record)
    assert bound(found, "peritonitis_rate", "lowest") == (0, "")
    assert bound(found, "peritonitis_rate", "highest") == (
        pytest.approx(2), "2 may count: cell count 2, culture 2",
    )  # fmt: skip
    assert found["peritonitis_free_share_lowest", "", METHOD]["value"] == 0
    assert found["peritonitis_free_share_highest", "", METHOD]["value"] == 1


def test_an_episode_after_a_missing_last_dose_may_be_the_same():
    record = record_of(
        peritonitis("E1", "2025-03-01"),
        peritonitis("E2", "2025-09-01", "2025-09-15"),
        samples=(
            cells_met(0, "2025-03-01", culture="no_growth"),
            cells_met(1, "2025-09-01", culture="no_growth"),
        ),
    )
    found = estimates(record)
    assert bound(found, "peritonitis_rate", "lowest") == (
        pytest.approx(1), "1 may not count: last dose of the one before 1",
    )  # fmt: skip
    assert bound(found, "peritonitis_rate", "highest") == (pytest.approx(2), "")
    # in the quarter of the second its patient might have been free
    quarter = estimates(record, "2025-Q3")
    assert quarter["peritonitis_free_share_highest", "", METHOD]["value"] == 1
    assert quarter["peritonitis_free_share_lowest", "", METHOD]["value"] == 0.5


def test_an_episode_soon_after_one_without_culture_may_be_its_relapse():
    record = record_of(
        peritonitis("E1", "2025-03-01", "2025-03-15"),
        peritonitis("E2", "2025-04-01", "2025-04-15"),
        samples=(cells_met(0, "2025-03-01", culture="pending"), cells_met(1, "2025-04-01")),
    )
    assert bound(estimates(record), "peritonitis_rate", "lowest") == (
        pytest.approx(1), "1 may not count: culture 1",
    )  # fmt: skip


def test_an_infection_of_two_sites_may_count_once():
    infection = {"patient": 0, "infection": "X", "onset_on": "2025-02-01", "site": "both"}
    found = estimates(record_of(infections=(infection,)))
    for name in ("exit_site_infection_rate", "tunnel_infection_rate"):
        assert bound(found, name, "highest") == (pytest.approx(1), "1 may count: signs 1")
    # "parts of a note may exceed its number" where both sites lack their signs
    assert bound(found, "catheter_infection_rate", "highest")[0] == pytest.approx(1)


def test_what_is_sure_leaves_nothing_open():
    infection = {
        "patient": 0, "infection": "X", "onset_on": "2025-02-01", "site": "exit_site",
        "purulent_discharge": NO,
    }  # fmt: skip
    other = infection | {"infection": "Y", "onset_on": "2025-06-01", "purulent_discharge": YES}
    found = estimates(record_of(infections=(infection, other)))
    for way in ("lowest", "highest"):
        assert bound(found, "exit_site_infection_rate", way) == (pytest.approx(1), "")
