"""An infection gives a row for each site it names."""

import pytest

from surveillance.tables import YES
from tests.surveillance.records import make_record, spell
from tests.surveillance.results import cases_of


@pytest.mark.parametrize(
    ("site", "kinds"),
    [("exit_site", ["exit_site"]), ("tunnel", ["tunnel"]), ("both", ["exit_site", "tunnel"])],
)
def test_only_sites_that_are_named_are_judged(site, kinds):
    row = {"infection": "X", "site": site, "onset_on": "2025-02-01", "purulent_discharge": YES}
    found = cases_of(make_record(pd_spells=[spell("2025-01-01")], catheter_infections=[row]))
    assert [case["kind"] for case in found.values()] == kinds


@pytest.mark.parametrize(
    ("organism", "group"),
    [(None, "not_cultured"), ("no_growth", "culture_negative"), ("CoNS", "positive")],
)
def test_an_infection_is_cultured_by_its_organism(organism, group):
    row = {"infection": "X", "site": "exit_site", "onset_on": "2025-02-01", "organism": organism}
    found = cases_of(make_record(catheter_infections=[row]))
    assert found["X exit_site"]["culture_group"] == group
