"""Promised and observed alarms on demonstration networks without stories.

python -m tests.bench.demo_alarms --seeds 50

Each seed makes the six clinics with nothing wrong in them. What the alarms' sentences promise is
summed over the clinics' time and held against what was raised. Three worlds: the demonstration's
own numbers; the same at the rate that the promise is about, the target; and that rate by chance
alone, without frail patients, repeats, differing clinics, training clock or season.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

import django
import pandas as pd

from clinic.demo.parameters import Parameters, read_parameters, without_stories

PARAMETERS = Path(__file__).parents[2] / "fixtures" / "demo" / "parameters.toml"
TARGET = 0.40
WEEKS_PER_YEAR = 365.25 / 7
ONE_CLUSTER_DAYS = 56  # alarms of one group closer than its window tell of one cluster
RULES = ("peritonitis_cusum", "organism_cluster")


@dataclass
class Tally:
    """Over the clinics of many seeds."""

    episodes: int = 0
    days: int = 0
    clinic_years: float = 0.0
    promised: dict[str, float] = field(default_factory=lambda: dict.fromkeys(RULES, 0.0))
    raised: dict[str, int] = field(default_factory=lambda: dict.fromkeys(RULES, 0))

    @property
    def rate(self) -> float:
        return self.episodes * 365.25 / self.days


def add(tally: Tally, signals: pd.DataFrame) -> None:
    """One clinic's rows: a row a week of the sum, a row a look of each group of organisms."""
    cusum = signals[signals["rule"] == "peritonitis_cusum"]
    years = len(cusum) / WEEKS_PER_YEAR
    tally.clinic_years += years
    tally.promised["peritonitis_cusum"] += cusum["false_alarms_per_year"].sum() / WEEKS_PER_YEAR
    tally.raised["peritonitis_cusum"] += int((cusum["statistic"] > cusum["limit"]).sum())
    looks = signals[signals["rule"] == "organism_cluster"].astype({"band": str})
    tally.promised["organism_cluster"] += float(
        looks.groupby("band")["false_alarms_per_year"].mean().sum() * years
    )
    over = looks[looks["statistic"] > looks["limit"]]
    tally.raised["organism_cluster"] += sum(_clusters(own) for _, own in over.groupby("band"))


def _clusters(alarms: pd.DataFrame) -> int:
    days = pd.to_datetime(alarms["window_end"].astype(str)).sort_values()
    return int((days.diff().dt.days.fillna(1e9) > ONE_CLUSTER_DAYS).sum())


def counted_over(numbers: Parameters, seeds: range) -> Tally:
    from tests.clinic.demo.watched import watched

    tally = Tally()
    for seed in seeds:
        for clinic in numbers.clinics:
            found = watched(replace(numbers, seed=seed), clinic)
            add(tally, found.signals)
            cells = found.rate_cells(("2022", "2023", "2024", "2025")).iloc[0]
            tally.episodes += int(cells["numerator"])
            tally.days += int(cells["denominator"])
    return tally


def at_rate(numbers: Parameters, rate: float) -> Parameters:
    """Scaled so that `rate` counted episodes a patient-year become the target."""
    scaled = {name: own * TARGET / rate for name, own in numbers.peritonitis.rate.items()}
    return replace(numbers, peritonitis=replace(numbers.peritonitis, rate=scaled))


def by_chance_alone(numbers: Parameters) -> Parameters:
    even = replace(
        numbers.peritonitis, frailty_variance=1e-6, clinic_spread_log=0.0, fresh_factor=1.0,
        stale_factor=1.0, enteric_season=0.0,
    )  # fmt: skip
    alone = replace(numbers.outcome, relapse_share=0.0, recurrent_share=0.0, repeat_share=0.0)
    return replace(numbers, peritonitis=even, outcome=alone)


def worlds(numbers: Parameters, seeds: range) -> Iterator[tuple[str, Tally]]:
    own = counted_over(numbers, seeds)
    yield "as the demonstration is made", own
    yield "the same, at the target", counted_over(at_rate(numbers, own.rate), seeds)
    even = by_chance_alone(numbers)
    pilot = counted_over(even, range(seeds.start, seeds.start + 5))
    yield "by chance alone, at the target", counted_over(at_rate(even, pilot.rate), seeds)


def line(world: str, tally: Tally) -> str:
    from surveillance.rates.poisson import exact_poisson_limits

    cells = [world, f"{tally.rate:.3f}", f"{tally.clinic_years:,.0f}"]
    for rule in RULES:
        promised, raised = tally.promised[rule], tally.raised[rule]
        limits = exact_poisson_limits(raised, promised, 0.95)
        ratio = f"{raised / promised:.2f} ({limits.lower:.2f}-{limits.upper:.2f})"
        cells += [f"{promised:.1f}", str(raised), ratio]
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.settings")
    django.setup()
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    asked.add_argument("--seeds", type=int, default=50, help="how many networks (50)")
    given = asked.parse_args()
    plain = without_stories(read_parameters(PARAMETERS))
    first = plain.seed + 1
    print(
        "| world | counted rate | clinic-years | sum promised | sum raised | raised / promised "
        "| cluster promised | cluster raised | raised / promised |"
    )
    print("|---|--:|--:|--:|--:|--:|--:|--:|--:|")
    for world, tally in worlds(plain, range(first, first + given.seeds)):
        print(line(world, tally), flush=True)
