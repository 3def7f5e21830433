"""Ten random clinics through the ordinary commands: every exported row equals the slow recount.

The plain tables are recounted in test_recount_agrees.py; here the whole way is: record files, load,
database (whichever DATABASE_URL names), extract, compute, snapshot, export. Issue 2, point 9.
"""

import csv
from math import isclose
from pathlib import Path

import pytest
from django.core.management import call_command

from tests.recount.network import network_rows
from tests.recount.random_clinics import Question, random_question, random_record
from tests.recount.record_files import organism_rows, write_folder
from tests.recount.recount import recount
from tests.recount.seen import Rows

TABLES = ("measures", "cases", "days", "ledger")
NETWORK = "North shore"


def exported(table: str, asked: Question, folder: Path, **more: str) -> list[dict[str, str]]:
    output = folder / f"{table}.csv"
    call_command("export_measures", table=table, rule_set=asked.rule_set, output=output, **more)
    with output.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def same(expected: object, found: str) -> bool:
    """Texts and whole numbers to the letter, other numbers to 1e-9."""
    if isinstance(expected, float):
        return found != "" and isclose(expected, float(found), rel_tol=1e-9, abs_tol=1e-12)
    return ("" if expected is None else str(expected)) == found


def differences(expected: list[dict], found: list[dict[str, str]]) -> list[tuple[dict, dict]]:
    pairs = zip(expected, found, strict=True)
    return [
        (one, other) for one, other in pairs
        if list(one) != list(other) or not all(same(one[name], other[name]) for name in one)
    ]  # fmt: skip


def computed(rows: Rows, asked: Question, folder: Path) -> None:
    write_folder(rows, folder)
    call_command("import_records", str(folder))
    call_command(
        "compute_measures", as_of=asked.as_of.isoformat(), through=asked.through,
        rule_set=asked.rule_set,
    )  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize("seed", range(10))
def test_every_exported_row_equals_the_recount(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    monkeypatch.setenv("TODAY", "2030-01-01")  # random records run up to 2027
    rows = random_record(seed)
    asked = random_question(seed, rows)
    slow = recount(rows, organism_rows(), asked.rule_set, asked.as_of, asked.through)
    records = tmp_path / "records"
    records.mkdir()
    computed(rows, asked, records)
    for table in TABLES:
        assert differences(slow[table], exported(table, asked, tmp_path)) == []


@pytest.mark.django_db
@pytest.mark.parametrize("seed", range(3))
def test_network_rows_equal_the_recount(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    monkeypatch.setenv("TODAY", "2030-01-01")
    rows = random_record(seed, clinics=3)
    rows["clinics"][0]["network"] = rows["clinics"][1]["network"] = NETWORK
    asked = random_question(seed, rows)
    slow = recount(rows, organism_rows(), asked.rule_set, asked.as_of, asked.through)
    expected = network_rows(rows, NETWORK, slow["measures"], asked.rule_set, asked.as_of)
    records = tmp_path / "records"
    records.mkdir()
    computed(rows, asked, records)
    assert differences(expected, exported("measures", asked, tmp_path, network=NETWORK)) == []
