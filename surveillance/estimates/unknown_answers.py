"""Of how many episodes each share's answer is not known, and what the share could then be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from surveillance.cases import criteria
from surveillance.cases.classes import UNDETERMINED
from surveillance.cases.refractory import NOT_ASSESSABLE
from surveillance.cases.treated import belongs_to, flags
from surveillance.estimates.basis import Basis
from surveillance.estimates.completeness import METHOD
from surveillance.estimates.rows import LONGER, Block, cells
from surveillance.measures.episode_shares import EPISODE_SHARES
from surveillance.measures.facts import Facts
from surveillance.tables import NO_DAY, NO_LINK, UNKNOWN
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.stretches import Bools, Ints


@dataclass(frozen=True)
class Open:
    """Episodes asked for outcomes whose answer might be the other one."""

    might: Bools  # taken as no
    might_not: Bools  # taken as yes


def _on(facts: Facts, frame: pd.DataFrame, rows: Bools, column: str) -> Bools:
    """Episodes under treatment on the day of some rows of a patient's table."""
    day = days_of(frame, column)
    chosen = rows & (day != NO_DAY)
    patient = frame["patient"].to_numpy()[chosen]
    treated = facts.made.outcomes.treated
    return flags(treated, belongs_to(treated, patient, day[chosen]))


def _cure(facts: Facts) -> Open:
    """Nobody said whether it resolved or when it ended; or what follows may be a relapse."""
    made, found = facts.made, facts.made.outcomes
    row = found.treated.row
    resolved = facts.at.record.peritonitis["resolved"].to_numpy()[row]
    no_end = found.treated.therapy_end == NO_DAY
    unasked = (resolved == UNKNOWN) | (no_end & (resolved > 0))
    out_of_reach = made.chained.next_relapses[row] | found.catheter_removed | found.died
    patient, sequence = found.treated.patient, made.chained.sequence[row]
    followed = (patient[1:] == patient[:-1]) & (sequence[1:] == UNDETERMINED)
    unclear = np.append(followed, False)[: len(row)]
    return Open(~found.medical_cure & unasked & ~out_of_reach, found.medical_cure & unclear)


def _removal(facts: Facts) -> Bools:
    catheters = facts.at.record.catheters
    return _on(facts, catheters, catheters["removal_reason"].isna().to_numpy(), "removed_on")


def _transfer(facts: Facts) -> Bools:
    pauses, spells = facts.at.record.pd_pauses, facts.at.record.pd_spells
    paused = _on(facts, pauses, pauses["reason"].isna().to_numpy(), "started_on")
    return paused | _on(facts, spells, spells["end_reason"].isna().to_numpy(), "last_day_on")


def _death(facts: Facts) -> Bools:
    """The spell ended by death, but the day of death is missing."""
    spells = facts.at.record.pd_spells
    died = days_of(facts.at.record.patients, "died_on")[spells["patient"].to_numpy()]
    undated = (spells["end_reason"] == "death").to_numpy() & (died == NO_DAY)
    return _on(facts, spells, undated, "last_day_on")


def _admission(facts: Facts) -> Bools:
    admissions = facts.at.record.admissions
    unnamed = (admissions["episode"] == NO_LINK).to_numpy()
    return _on(facts, admissions, unnamed, "admitted_on")


def _no_culture(facts: Facts) -> Bools:
    """Pending, or neither taken nor said not to have been."""
    samples, made = facts.at.record.effluent_samples, facts.made
    row = made.outcomes.treated.row
    said = np.zeros(len(made.rows), dtype=bool)
    not_taken = (samples["culture"] == "not_taken").to_numpy()
    said[made.chained.first[samples["episode"].to_numpy()[not_taken]]] = True
    culture = made.chained.culture[row]
    silent = (culture == criteria.NOT_CULTURED) & ~said[row]
    unknown: Bools = silent | (culture == criteria.CULTURE_PENDING)
    return unknown


def open_answers(facts: Facts) -> dict[str, Open]:
    """For each share of episodes, those whose answer is not known. Test: as below."""
    found = facts.made.outcomes
    none = np.zeros(len(found.treated.row), dtype=bool)
    undetermined = facts.made.chained.sequence[found.treated.row] == UNDETERMINED
    uncultured = _no_culture(facts)
    return {
        "culture_negative_share": Open(uncultured, none),
        "not_cultured_share": Open(none, uncultured),
        "relapsing_share": Open(undetermined, none),
        "recurrent_share": Open(undetermined, none),
        "repeat_share": Open(undetermined, none),
        "medical_cure_share": _cure(facts),
        "refractory_share": Open(found.refractory == NOT_ASSESSABLE, none),
        "catheter_removal_share": Open(_removal(facts) & ~found.catheter_removed, none),
        "haemodialysis_transfer_share": Open(
            _transfer(facts) & ~found.haemodialysis_transfer, none
        ),
        "death_share": Open(_death(facts) & ~found.died, none),
        "admission_share": Open(_admission(facts) & ~found.admitted, none),
    }


def _followed(facts: Facts, name: str) -> Bools:
    """Outcomes are asked of the episodes followed up, the rest of all."""
    everyone = np.ones(len(facts.made.outcomes.treated.row), dtype=bool)
    asked = ("culture_negative", "not_cultured", "relapsing", "recurrent", "repeat")
    return everyone if name.startswith(asked) else facts.made.outcomes.followed_up


def unknown_answers(basis: Basis) -> Iterator[Block]:
    """Unknown count beside every share of episodes, and the lowest and highest it could be.

    Source: design 3.3 (unknown = not), standards.md 9 (5). Test: test_unknown_answers.py.
    """
    facts, at = basis.facts, cells(basis.facts, LONGER)
    answers = open_answers(facts)
    for measure in EPISODE_SHARES:
        figure, one = next(iter(measure.figures(facts))), answers[measure.name]
        asked = _followed(facts, measure.name)
        might, might_not = (
            at.of(facts.treated_counts(asked & flag)) for flag in (one.might, one.might_not)
        )
        yes, whole = at.of(figure.numerator), at.of(figure.denominator)
        n: Ints = np.maximum(whole, 1)
        bounds = {"lowest": (yes - might_not) / n, "highest": (yes + might) / n}
        yield Block(f"{measure.name}_unknown_count", "count", at, might + might_not)
        for way, share in bounds.items():
            value = np.where(whole > 0, share, np.nan)
            yield Block(f"{measure.name}_{way}", METHOD, at, value)
