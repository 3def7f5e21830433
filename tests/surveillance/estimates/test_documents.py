"""DEVELOPERS.md names every estimate that is made, with its method, and no other."""

import re
from datetime import date
from pathlib import Path

import pytest

from surveillance.measures.episode_shares import EPISODE_SHARES
from surveillance.measures.infection_rates import INFECTION_RATES
from tests.bench.made_record import made_record
from tests.surveillance.estimates.found import estimate_rows

TEXT = (Path(__file__).parents[3] / "DEVELOPERS.md").read_text(encoding="utf-8")
TABLE = TEXT.partition("## Estimate rows")[2]
STANDS_FOR = {
    "RATE": [measure.name for measure in INFECTION_RATES],
    "SHARE": [measure.name for measure in EPISODE_SHARES],
}


def expanded(name: str) -> list[str]:
    for word, names in STANDS_FOR.items():
        if name.startswith(word):
            return [own + name.removeprefix(word) for own in names]
    return [name]


def documented() -> set[tuple[str, str]]:
    """Every (name, method) that a line of the table allows."""
    lines = [line.split("|") for line in TABLE.splitlines() if line.startswith("| `")]
    return {
        (name, method)
        for line in lines
        for word in re.findall("`([^`]+)`", line[1])
        for name in expanded(word)
        for method in re.findall("`([^`]+)`", line[3])
    }


@pytest.fixture(scope="module")
def made() -> set[tuple[str, str]]:
    rows = estimate_rows(made_record(90, 2, seed=20260404), as_of=date(2024, 12, 31))
    return {(row["name"], row["method"]) for row in rows}


def test_every_estimate_is_in_the_table(made: set[tuple[str, str]]) -> None:
    assert sorted(made - documented()) == []


def test_every_name_in_the_table_is_made(made: set[tuple[str, str]]) -> None:
    without_target = {"tunnel_infection_rate_meets_target", "catheter_infection_rate_meets_target"}
    names = {name for name, _ in documented()} - without_target
    assert sorted(names - {name for name, _ in made}) == []
    assert {method for _, method in documented()} == {method for _, method in made}
