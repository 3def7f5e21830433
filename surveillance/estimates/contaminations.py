"""Contaminations: how many, how often, with prophylaxis or not, and followed by peritonitis."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import LONGER, Block, Cells, cells
from surveillance.estimates.shares import share_block
from surveillance.measures.facts import Facts
from surveillance.rates.poisson import garwood
from surveillance.tables import NO, YES
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.stretches import FAR, Bools, Ints

FOLLOWED_WITHIN_DAYS = 7  # our choice; the day itself is day 0
KINDS = ("", "dry", "wet")
SPLIT = "contamination_kind"
NEVER = "no contamination on record in this clinic"
COUNT, RATE = "contaminations_count", "contamination_rate"
PROPHYLAXIS = "contamination_prophylaxis_share"
FOLLOWED = "contamination_followed_by_peritonitis_share"


def _tables(facts: Facts, *chosen: Bools) -> list[Ints]:
    """Chosen contaminations by clinic and period of their day."""
    frame = facts.at.record.contaminations
    clinic = facts.at.clinic[frame["patient"].to_numpy()]
    day = days_of(frame, "happened_on")
    return [facts.when.counts(clinic[own], day[own], len(facts.clinics)) for own in chosen]


def _followed(facts: Facts) -> Bools:
    """Whether a confirmed peritonitis of the patient began by the last day of the window."""
    frame, treated = facts.at.record.contaminations, facts.made.outcomes.treated
    onset = np.append(np.sort(facts.at.line.at(treated.patient, treated.onset)), FAR)
    place = facts.at.line.at(frame["patient"].to_numpy(), days_of(frame, "happened_on"))
    following = onset[np.searchsorted(onset, place)]
    same = facts.at.line.patient(following) == frame["patient"].to_numpy()
    followed: Bools = same & (following - place <= FOLLOWED_WITHIN_DAYS)
    return followed


def _never(facts: Facts, at: Cells) -> Bools:
    """A clinic without a single one on record does not record them: unknown is not zero."""
    clinic = facts.at.clinic[facts.at.record.contaminations["patient"].to_numpy()]
    return ~np.isin(at.clinic, clinic)


def _count(at: Cells, count: Ints, never: Bools, kind: str) -> Block:
    split, none = (SPLIT if kind else ""), np.zeros(len(at), dtype=np.int64)
    value = np.where(never, np.nan, at.of(count))
    note = [NEVER if no else "" for no in never.tolist()]
    return Block(COUNT, "count", at, value, note=note, split=split, band=none, labels=(kind,))


def _rate(facts: Facts, at: Cells, count: Ints, never: Bools) -> Block:
    years = at.of(facts.clinic_days) / facts.rule_set.number("days_per_year")
    years = np.where((years > 0) & ~never, years, np.nan)
    number = at.of(count)
    limits = garwood(number.astype(float), facts.rule_set.number("limits_level"))
    lower, upper = (limit / years for limit in limits)
    note = [NEVER if no else "" for no in never.tolist()]
    return Block(RATE, "exact_poisson", at, number / years, lower, upper, note)


def contaminations(basis: Basis) -> Iterator[Block]:
    """Counts, rate per patient-year and shares of contaminations, of all and of each kind.

    Source: standards.md 8.4. Test: tests/surveillance/estimates/test_contaminations.py.
    """
    facts = basis.facts
    frame, at = facts.at.record.contaminations, cells(facts, LONGER)
    given = frame["prophylaxis"].to_numpy()
    said = np.isin(given, (YES, NO))
    old = days_of(frame, "happened_on") + FOLLOWED_WITHIN_DAYS < facts.at.line.stop_day
    followed, never = _followed(facts), _never(facts, at)
    for kind in KINDS:
        own = (frame["kind"] == kind).to_numpy() if kind else np.ones(len(frame), dtype=bool)
        split = SPLIT if kind else ""
        count = _tables(facts, own)[0]
        yield _count(at, count, never, kind)
        asked = _tables(facts, own & (given == YES), own & said, own & ~said)
        yield share_block(facts, PROPHYLAXIS, asked, split, kind)
        watched = _tables(facts, own & old & followed, own & old, own & ~old)
        yield share_block(facts, FOLLOWED, watched, split, kind)
        if not kind:
            yield _rate(facts, at, count, never)
