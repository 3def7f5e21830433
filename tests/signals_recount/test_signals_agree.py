"""The signal rows of random clinics equal those of a slow second route, day by day."""

import os
from datetime import date
from math import isclose, isfinite

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings

from surveillance.rules import RULE_SETS
from surveillance.signals.compute import compute_everything
from surveillance.signals.first_isolates import BANDS
from surveillance.text_columns import stacked
from tests.recount.bridge import record_tables
from tests.recount.clinics import count_clinic
from tests.recount.organisms import Catalogue
from tests.recount.random_clinics import Question, random_question, random_record
from tests.recount.record_files import organism_rows
from tests.recount.seen import Rows
from tests.recount.strategies import asked_records
from tests.signals_recount.lines import Line, Watch, clusters, cusum, quarters, running_gap

SEEDS = int(os.environ.get("SIGNALS_SEEDS", "40"))
CATALOGUE = organism_rows()
Key = tuple[str, str, str]  # clinic, rule, band


def last_day(asked: Question) -> date:
    if asked.through is None:
        return asked.as_of
    from surveillance.periods import parse_period

    return min(asked.as_of, parse_period(asked.through).last_day)


def fast(rows: Rows, asked: Question) -> pd.DataFrame:
    return compute_everything(
        record_tables(rows), pd.DataFrame(CATALOGUE), RULE_SETS[asked.rule_set], asked.as_of,
        asked.through,
    ).signals  # fmt: skip


def by_line(frame: pd.DataFrame) -> dict[Key, list[Line]]:
    found: dict[Key, list[Line]] = {}
    for row in frame.to_dict("records"):
        found.setdefault((row["clinic"], row["rule"], row["band"]), []).append(row)
    return found


def watches(rows: Rows, asked: Question) -> list[Watch]:
    known = Catalogue(CATALOGUE)
    return [
        Watch(
            count_clinic(rows, row, known, asked.rule_set, asked.as_of, asked.through),
            last_day(asked),
        )
        for row in rows["clinics"]
    ]


def same(cell: object, wanted: object) -> bool:
    if isinstance(wanted, date):
        return cell == wanted.isoformat()
    if wanted is None:
        return cell is None or cell != cell
    return isclose(float(cell), float(wanted), rel_tol=1e-9, abs_tol=1e-9)


def expect(found: list[Line], wanted: list[Line], told: object) -> None:
    assert len(found) == len(wanted), (told, len(found), len(wanted))
    for row, line in zip(found, wanted, strict=True):
        wrong = [name for name, cell in line.items() if not same(row[name], cell)]
        assert not wrong, (told, wrong, row, line)


def compare(rows: Rows, asked: Question) -> None:
    found = by_line(fast(rows, asked))
    for watch in watches(rows, asked):
        name = watch.clinic.name
        if not watch.is_dated:
            assert not any(key[0] == name for key in found)
            continue
        weekly = [row for row in found[name, "peritonitis_cusum", ""] if isfinite(row["statistic"])]
        expect(weekly, cusum(watch), (name, "cusum"))
        for band in BANDS:
            own = found[name, "organism_cluster", band]
            expect(own, clusters(watch, band), (name, band))
        expect(found.get((name, "quarterly_rate", ""), []), quarters(watch), (name, "quarters"))
        expect(found[name, "long_gap", ""][-1:], [running_gap(watch)], (name, "gap"))


@pytest.mark.parametrize("seed", range(SEEDS))
def test_random_clinics_by_both_routes(seed: int) -> None:
    rows = random_record(seed)
    compare(rows, random_question(seed, rows))


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(asked_records())
def test_nasty_clinics_by_both_routes(asked: tuple[Rows, Question]) -> None:
    compare(*asked)


@pytest.mark.parametrize("seed", range(3))
def test_a_clinic_s_rows_are_the_same_alone_and_beside_others(seed: int) -> None:
    rows = random_record(seed, 3)
    asked = random_question(seed, rows)
    together = fast(rows, asked)
    alone = []
    for clinic in rows["clinics"]:
        code = clinic["clinic"]
        own = {
            name: [row for row in table if row["clinic"] == code] for name, table in rows.items()
        }
        alone.append(fast(own, asked))
    assert stacked(alone).astype(object).equals(together.astype(object))


def test_every_row_has_its_words_and_no_false_zero() -> None:
    for seed in range(10):
        rows = random_record(seed)
        frame = fast(rows, random_question(seed, rows))
        assert (frame["sentence"].astype(str).str.len() > 20).all()
        nobody = frame["sentence"].astype(str).str.startswith("Nobody was at risk from")
        assert frame.loc[nobody, ["statistic", "limit", "p"]].isna().all(axis=None)
