"""How low and how high each headline rate could be, given what is missing in the record."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.episodes import EXIT_SITE, PERITONITIS, TUNNEL
from surveillance.estimates.basis import Basis
from surveillance.estimates.doubt import Doubt, doubt
from surveillance.estimates.rows import LONGER, Block, Cells, cells
from surveillance.measures.facts import Facts
from surveillance.measures.peritonitis_free_share import PERITONITIS_FREE_SHARE
from surveillance.time_at_risk.stretches import Bools, Ints
from surveillance.time_at_risk.timeline import AT_RISK

METHOD = "bounds_for_missing_fields"
RATES = {
    "peritonitis_rate": (PERITONITIS,),
    "exit_site_infection_rate": (EXIT_SITE,),
    "tunnel_infection_rate": (TUNNEL,),
    "catheter_infection_rate": (EXIT_SITE, TUNNEL),
}
CRITERIA = ("clinical signs", "cell count", "culture")


def _counts(facts: Facts, chosen: Bools, kinds: tuple[int, ...]) -> Ints:
    """Chosen rows of some kinds, clinics x periods; an infection of two sites once."""
    rows = np.flatnonzero(chosen & np.isin(facts.made.rows.kind, kinds))
    if PERITONITIS not in kinds:
        rows = rows[np.unique(facts.made.rows.source[rows], return_index=True)[1]]
    return facts.case_counts(rows)


def _missing(facts: Facts, open_rows: Doubt) -> dict[str, Bools]:
    """Which missing field keeps a row from counting, under its name for people."""
    unsure = facts.made.rows.confirmed == criteria.UNCONFIRMED
    may = open_rows.may_count
    asked = {
        name: may & unsure & (said == criteria.NOT_ASSESSABLE)
        for name, said in zip(CRITERIA, facts.made.rows.criteria, strict=True)
    }
    asked["signs"] = may & unsure & ~facts.made.is_peritonitis
    asked["one it depends on is open"] = may & ~unsure
    return asked


def _doubtful(open_rows: Doubt) -> dict[str, Bools]:
    return {
        "last dose of the one before": open_rows.last_dose,
        "culture": open_rows.culture,
        "one it depends on is open": open_rows.after_open,
    }


def notes(at: Cells, what: str, total: Ints, parts: dict[str, Ints]) -> list[str]:
    """`3 may count: cell count 2, culture 1`; nothing where none is open. Test: as below."""
    numbers = {name: at.of(table).tolist() for name, table in parts.items()}
    said = []
    for place, number in enumerate(at.of(total).tolist()):
        named = [f"{name} {own[place]}" for name, own in numbers.items() if own[place]]
        said.append(f"{number} {what}: {', '.join(named)}" if number else "")
    return said


def _rates(facts: Facts, open_rows: Doubt) -> Iterator[Block]:
    at = cells(facts, LONGER)
    years = at.of(facts.clinic_days) / facts.rule_set.number("days_per_year")
    known = np.where(years > 0, years, np.nan)
    counts, made = facts.made.counts, facts.made
    ways = {
        "lowest": (counts & ~open_rows.may_not_count, "may not count", _doubtful(open_rows)),
        "highest": (counts | open_rows.may_count, "may count", _missing(facts, open_rows)),
    }
    for name, kinds in RATES.items():
        now = _counts(facts, made.counts, kinds)
        for way, (rows, what, fields) in ways.items():
            then = _counts(facts, rows, kinds)
            parts = {field: _counts(facts, own, kinds) for field, own in fields.items()}
            said = notes(at, what, np.abs(then - now), parts)
            yield Block(f"{name}_{way}", METHOD, at, at.of(then) / known, note=said)


def _patients(facts: Facts, rows: Bools) -> Bools:
    """Patients x periods with at least one of some rows."""
    made = facts.made
    patient, onset = made.rows.patient[rows], made.rows.onset[rows]
    some: Bools = facts.when.counts(patient, onset, len(facts.patient_days)) > 0
    return some


def _free_share(facts: Facts, open_rows: Doubt) -> Iterator[Block]:
    """A peritonitis that may be none frees its patient; one that may be one does not."""
    made, at = facts.made, cells(facts, LONGER)
    episode = np.zeros(len(made.rows), dtype=bool)
    episode[made.outcomes.treated.row] = True
    episode &= made.state == AT_RISK
    ways = {
        "lowest": episode | (open_rows.may_count & made.is_peritonitis),
        "highest": episode & ~open_rows.may_not_count,
    }
    at_risk = facts.patient_days > 0
    whole = at.of(facts.of_clinics(at_risk.astype(np.int64)))
    for way, rows in ways.items():
        free = facts.of_clinics((at_risk & ~_patients(facts, rows)).astype(np.int64))
        share = np.where(whole > 0, at.of(free) / np.maximum(whole, 1), np.nan)
        yield Block(f"{PERITONITIS_FREE_SHARE.name}_{way}", METHOD, at, share)


def completeness(basis: Basis) -> Iterator[Block]:
    """The lowest and the highest that the rates and the free share could be.

    A catheter infection of two sites counts once, so that parts of a note may exceed its number.
    Source: standards.md 9 (5). Test: tests/surveillance/estimates/test_completeness.py.
    """
    open_rows = doubt(basis.facts.at, basis.facts.made, basis.facts.rule_set)
    yield from _rates(basis.facts, open_rows)
    yield from _free_share(basis.facts, open_rows)
