"""The criteria of peritonitis and the signs of catheter infections, in three-valued logic."""

from __future__ import annotations

import numpy as np
import pandas as pd

from surveillance.rules import RuleSet
from surveillance.tables import NO, YES, Record
from surveillance.time_at_risk.stretches import Bools, Ints

# Codes of a criterion, and of an episode.
NOT_ASSESSABLE, NOT_MET, MET = 0, 1, 2
CRITERION = ("not_assessable", "not_met", "met")
NOT_CONFIRMED, UNCONFIRMED, CONFIRMED = 0, 1, 2
CONFIRMATION = ("not_confirmed", "unconfirmed", "confirmed")
# Codes of what the cultures of an episode say; of several the highest holds.
NOT_CULTURED, CULTURE_NEGATIVE, CULTURE_PENDING, POSITIVE = 0, 1, 2, 3
CULTURE_GROUPS = ("not_cultured", "culture_negative", "culture_pending", "positive")


def _signs(frame: pd.DataFrame, names: tuple[str, ...]) -> Ints:
    """Any sign yes: met; all no: not met; else not assessable."""
    signs = np.stack([frame[name].to_numpy() for name in names])
    met, not_met = (signs == YES).any(axis=0), (signs == NO).all(axis=0)
    return np.select([met, not_met], [MET, NOT_MET], NOT_ASSESSABLE)


def clinical_criterion(episodes: pd.DataFrame) -> Ints:
    """Cloudy effluent or abdominal pain. Source: design 3.1. Test: test_criteria.py."""
    return _signs(episodes, ("cloudy_effluent", "abdominal_pain"))


def _any_of(owner: Ints, held: Bools, episodes: int) -> Bools:
    found: Bools = np.bincount(owner[held], minlength=episodes) > 0
    return found


def cell_criterion(record: Record, rule_set: RuleSet) -> Ints:
    """Cell count and neutrophils of the episode's own samples after a sufficient dwell.

    Met by one sample; not met if every sample has the dwell and a value at or below its limit.
    A missing value satisfies no comparison. Source: design 3.1. Test: test_criteria.py.
    """
    samples, episodes = record.effluent_samples, len(record.peritonitis)
    owner = samples["episode"].to_numpy().astype(np.int64)
    leucocytes, neutrophils = samples["leucocytes_per_ul"], samples["neutrophil_percent"]
    count, share = (
        rule_set.number("leucocytes_above_per_ul"),
        rule_set.number("neutrophils_above_percent"),
    )
    long = (samples["dwell_hours"] >= rule_set.number("dwell_at_least_hours")).to_numpy()
    above = long & ((leucocytes > count) & (neutrophils > share)).to_numpy()
    below = long & ((leucocytes <= count) | (neutrophils <= share)).to_numpy()
    every = np.ones(len(samples), dtype=bool)
    not_met = _any_of(owner, every, episodes) & ~_any_of(owner, ~below, episodes)
    met = _any_of(owner, above, episodes)
    return np.select([met, not_met], [MET, NOT_MET], NOT_ASSESSABLE)


def own_cultures(record: Record) -> Ints:
    """What the cultures of each episode's own samples say. Test: test_criteria.py."""
    samples = record.effluent_samples
    grown = np.array(samples["culture"] == "grown")
    grown[record.isolates["sample"].to_numpy()] = True
    said = np.select(
        [grown, samples["culture"] == "pending", samples["culture"] == "no_growth"],
        [POSITIVE, CULTURE_PENDING, CULTURE_NEGATIVE],
        NOT_CULTURED,
    )
    found = np.full(len(record.peritonitis), NOT_CULTURED, dtype=np.int64)
    np.maximum.at(found, samples["episode"].to_numpy(), said)
    return found


def culture_criterion(culture: Ints) -> Ints:
    """Positive: met; negative: not met; else not assessable. Test: test_criteria.py."""
    return np.array([NOT_ASSESSABLE, NOT_MET, NOT_ASSESSABLE, MET])[culture]


def confirmation(criteria: list[Ints], rule_set: RuleSet) -> Ints:
    """Confirmed once enough criteria are met, not confirmed once that is out of reach.

    Source: design 3.1. Test: tests/surveillance/cases/test_criteria.py.
    """
    needed = rule_set.days("criteria_needed")
    table = np.stack(criteria)
    met, possible = (table == MET).sum(axis=0), (table != NOT_MET).sum(axis=0)
    return np.select([met >= needed, possible < needed], [CONFIRMED, NOT_CONFIRMED], UNCONFIRMED)


def site_confirmation(infections: pd.DataFrame, signs: tuple[str, ...]) -> Ints:
    """Confirmation of one site of catheter infections from its signs. Test: test_criteria.py."""
    said = _signs(infections, signs)
    return np.array([UNCONFIRMED, NOT_CONFIRMED, CONFIRMED])[said]
