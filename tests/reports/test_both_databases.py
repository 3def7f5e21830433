"""The same record in SQLite and in PostgreSQL: every shape is the same to the byte."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from reports.rate_report.files import RATE_REPORT_FORMATS
from tests.faults.house import House, opened, postgres_database
from tests.recount.random_clinics import random_record
from tests.recount.record_files import write_folder

SEED, PERIOD = 2, "2019"


def digests(house: House, records: Path) -> dict[str, str]:
    """Import, compute and write every shape, as an operator would."""
    out = house.folder / "out"
    out.mkdir()
    calls = [
        f"'import_records', {str(records)!r}", "'compute_measures', as_of='2020-06-30'",
    ]  # fmt: skip
    calls += [
        f"'rate_report', clinic={clinic_of(records)!r}, period={PERIOD!r}, format={ending!r}, "
        f"output={str(out / ending)!r}"
        for ending in RATE_REPORT_FORMATS
    ]
    house.commands(*calls)
    return {
        ending: hashlib.sha256((out / ending).read_bytes()).hexdigest()
        for ending in RATE_REPORT_FORMATS
    }


def clinic_of(records: Path) -> str:
    return (records / "clinics.csv").read_text(encoding="utf-8").split("\n")[1].split(",")[0]


def test_every_shape_is_the_same_bytes_on_both(
    tmp_path: Path, postgres_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SECRET_KEY", "the key of both houses, that their pseudonyms agree")
    records = tmp_path / "records"
    records.mkdir()
    write_folder(random_record(SEED, clinics=1), records)
    with opened(House(tmp_path / "embedded")) as house:
        embedded = digests(house, records)
    with (
        postgres_database(postgres_url, f"report_{os.getpid()}") as url,
        opened(House(tmp_path / "grown_up", url)) as house,
    ):
        grown_up = digests(house, records)

    assert embedded == grown_up
