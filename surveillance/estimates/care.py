"""How care went: time to the first antibiotic, sample first, day-5 count, training overdue."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import LONGER, Block, Floats, cells
from surveillance.estimates.shares import share_block
from surveillance.measures.facts import Facts
from surveillance.measures.median_patient_rate import medians
from surveillance.periods import day_number
from surveillance.tables import NO, NO_DAY, NO_MOMENT, YES
from surveillance.time_at_risk.seen import days_of, first_known
from surveillance.time_at_risk.splits import NONE_RECORDED
from surveillance.time_at_risk.stretches import FAR, Bools, Ints, covers

HOURS = "presentation_to_antibiotic_hours"
SAMPLE_FIRST = "sample_before_antibiotic_share"
COUNT_DONE = "day_5_count_share"
OVERDUE = "training_overdue_share"
CLOCK, OVERDUE_FROM_DAYS = "time_since_training", 365


def _moments(facts: Facts, name: str) -> tuple[Ints, Bools]:
    """A moment of the treated episodes in seconds, and whether it is known and seen."""
    episodes, row = facts.at.record.peritonitis, facts.made.outcomes.treated.row
    moment = episodes[f"{name}_at"].to_numpy().astype(np.int64)[row]
    return moment, (moment != NO_MOMENT) & (days_of(episodes, f"{name}_on")[row] != NO_DAY)


def _in_periods(facts: Facts, chosen: Bools) -> tuple[Ints, Ints]:
    """(place, period) of chosen treated episodes in every period that holds their onset."""
    treated = facts.made.outcomes.treated
    month = facts.when.months.of(treated.onset) + facts.when.months.first
    first = np.array([period.first_month for period in facts.when.periods], dtype=np.int64)
    stop = np.array([period.stop_month for period in facts.when.periods], dtype=np.int64)
    inside = (first[None, :] <= month[:, None]) & (month[:, None] < stop[None, :])
    place, period = np.nonzero(inside & chosen[:, None])
    return place, period


def antibiotic_delay(basis: Basis) -> Iterator[Block]:
    """Median hours from presentation to the first antibiotic; the note counts who has no times.

    Source: workflows.md, care process; no published standard. Test: test_care.py.
    """
    facts, at = basis.facts, cells(basis.facts, LONGER)
    presented, came = _moments(facts, "presented")
    given, treated = _moments(facts, "first_antibiotic")
    known = came & treated
    place, period = _in_periods(facts, known)
    shape = (len(facts.clinics), len(facts.when.periods))
    clinic = facts.at.clinic[facts.made.outcomes.treated.patient[place]]
    cell = clinic * shape[1] + period
    hours = ((given - presented) / 3_600)[place]
    size = np.bincount(cell, minlength=shape[0] * shape[1])
    median: Floats = medians(cell, hours, size).reshape(shape)
    left_out = at.of(facts.treated_counts(~known)).tolist()
    note = [f"left out as unknown: {number}" if number else "" for number in left_out]
    yield Block(f"{HOURS}_median", "median", at, at.of(median), note=note)


def _first_sample(facts: Facts) -> tuple[Ints, Ints]:
    """Earliest dated sample of each treated episode, -1 without, and its moment."""
    samples, made = facts.at.record.effluent_samples, facts.made
    moment = samples["collected_at"].to_numpy().astype(np.int64)
    owner = made.outcomes.treated.place_of(len(made.rows))[
        made.chained.first[samples["episode"].to_numpy()]
    ]
    usable = np.flatnonzero((owner >= 0) & (moment != NO_MOMENT))
    order = usable[np.lexsort((moment[usable], owner[usable]))]
    found, first = np.unique(owner[order], return_index=True)
    sample = np.full(len(made.outcomes.treated.row), -1, dtype=np.int64)
    sample[found] = order[first]
    return sample, np.append(moment, NO_MOMENT)[sample]


def sample_first(basis: Basis) -> Iterator[Block]:
    """Share of the episodes whose first sample was drawn before any antibiotic.

    What was said with the sample decides, else the two moments. Source: as above. Test: as above.
    """
    facts = basis.facts
    sample, drawn = _first_sample(facts)
    said = np.append(facts.at.record.effluent_samples["antibiotics_before"].to_numpy(), -1)[sample]
    given, treated = _moments(facts, "first_antibiotic")
    timed = treated & (drawn != NO_MOMENT)
    known = np.isin(said, (YES, NO)) | timed
    before = np.where(np.isin(said, (YES, NO)), said == NO, timed & (drawn <= given))
    tables = [facts.treated_counts(rows) for rows in (known & before, known, ~known)]
    yield share_block(facts, SAMPLE_FIRST, tables)


def day_5_count(basis: Basis) -> Iterator[Block]:
    """Share of the episodes with a cell count from day 5 of therapy on, under treatment.

    Day 0 is the first appropriate antibiotic, else the first. Source: rule refractory_from_day.
    Test: tests/surveillance/estimates/test_care.py.
    """
    facts = basis.facts
    samples, episodes = facts.at.record.effluent_samples, facts.at.record.peritonitis
    made, treated = facts.made, facts.made.outcomes.treated
    given = first_known(
        days_of(episodes, "appropriate_antibiotic_on"), days_of(episodes, "first_antibiotic_on")
    )[treated.row]
    due = given + facts.rule_set.days("refractory_from_day")
    owner = treated.place_of(len(made.rows))[made.chained.first[samples["episode"].to_numpy()]]
    day = days_of(samples, "collected_on")
    counted = (owner >= 0) & samples["leucocytes_per_ul"].notna().to_numpy()
    counted &= (day >= np.append(due, FAR)[owner]) & (
        day <= np.append(treated.treatment_end, 0)[owner]
    )
    done = np.isin(np.arange(len(treated.row)), owner[counted])
    known = given != NO_DAY
    asked = known & (due < facts.at.line.stop_day) & (due <= treated.treatment_end)
    tables = [facts.treated_counts(rows) for rows in (asked & done, asked, ~known)]
    yield share_block(facts, COUNT_DONE, tables)


def training_overdue(basis: Basis) -> Iterator[Block]:
    """Share of the patients at risk on the period's last day, last trained a year ago or more.

    Without a recorded training: left out. Source: standards.md 8.1. Test: test_care.py.
    """
    facts, line = basis.facts, basis.facts.at.line
    split = facts.steps[CLOCK]
    starts = [label.rstrip("+").split("-")[0] for label in split.labels]
    late = np.array([text.isdigit() and int(text) >= OVERDUE_FROM_DAYS for text in starts])
    none = split.labels.index(NONE_RECORDED)
    everyone, periods = np.arange(line.patients), facts.when.periods
    shape = (line.patients, len(periods))
    yes, known, unknown = (np.zeros(shape, dtype=np.int64) for _ in range(3))
    last_days = np.array([day_number(period.last_day) for period in periods], dtype=np.int64)
    for day in np.unique(last_days).tolist():
        place = line.at(everyone, np.full(line.patients, day))
        band, here = split.steps.at(place), covers(facts.at.at_risk, place)
        same = last_days == day
        yes[:, same] = (here & late[band])[:, None]
        known[:, same] = (here & (band != none))[:, None]
        unknown[:, same] = (here & (band == none))[:, None]
    yield share_block(facts, OVERDUE, [facts.of_clinics(own) for own in (yes, known, unknown)])
