"""verify_report: counts from the report's own lists, names a changed byte, knows no database."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random

import pytest
from django.core.management import CommandError, call_command

from reports.rate_report.files import rate_report_file
from reports.rate_report.tables import HOST
from reports.verify.report import verify
from surveillance.models import Snapshot
from tests.recount.random_clinics import random_question, random_record
from tests.recount.record_files import write_folder
from tests.reports.stored import QUARTER


def shape(snapshot: Snapshot, ending: str) -> bytes:
    return rate_report_file(snapshot, QUARTER, ending, HOST).content


@pytest.mark.parametrize("ending", ["zip", "json"])
def test_a_report_as_written_stands(signed, ending: str) -> None:
    verdict = verify(shape(signed, ending))

    assert verdict.stands and len(verdict.figures) == 22


@pytest.mark.django_db
@pytest.mark.parametrize("seed", range(4))
def test_every_period_of_random_clinics_comes_back_from_its_lists(
    seed: int, tmp_path: Path, monkeypatch, capsys
) -> None:
    monkeypatch.setenv("TODAY", "2030-01-01")  # random records run up to 2027
    rows = random_record(seed)
    write_folder(rows, tmp_path)
    call_command("import_records", str(tmp_path))
    call_command("compute_measures", as_of=random_question(seed, rows).as_of.isoformat())
    for snapshot in Snapshot.objects.all():
        for period in snapshot.tables.filter(table="cases").exclude(period="").order_by("period"):
            content = rate_report_file(snapshot, period.period, "json", HOST).content
            figures = verify(content).figures
            assert figures and [one for one in figures if not one.agrees] == []


def test_one_changed_byte_anywhere_is_found(signed) -> None:
    content = shape(signed, "zip")
    random = Random(20260120)
    places = [*range(4), *(random.randrange(len(content)) for _ in range(150)),
              *range(len(content) - 30, len(content))]  # fmt: skip
    for place in places:
        changed = bytearray(content)
        changed[place] ^= 1 << random.randrange(8)
        verdict = verify(bytes(changed))
        assert verdict.faults and not verdict.stands, place


@pytest.mark.parametrize(
    "inside", ["data/tables/ledger.csv", "data/report.pdf", "bag-info.txt", "manifest-sha256.txt"]
)
def test_the_changed_file_is_named(signed, inside: str) -> None:
    content = shape(signed, "zip")
    place = content.index(f"/{inside}".encode()) + len(inside) + 40  # inside the file's own bytes
    changed = content[:place] + bytes([content[place] ^ 1]) + content[place + 1 :]

    assert any(inside in fault for fault in verify(changed).faults)


def test_a_changed_ledger_is_said_with_both_numbers(signed) -> None:
    document = json.loads(shape(signed, "json"))
    ledger = next(part for part in document["parts"] if part["name"] == "ledger")["tables"][
        "ledger"
    ]
    ledger[0]["days"] += 1
    verdict = verify(json.dumps(document).encode())

    rate = next(one for one in verdict.figures if one.measure == "peritonitis_rate")
    said = {name: (reported, found) for name, reported, found in rate.differs}
    assert int(said["denominator"][1]) == int(said["denominator"][0]) + 1
    assert not verdict.stands and set(said) == {"denominator", "value", "lower", "upper"}


def test_the_command_says_which_agree_and_ends_with_1_where_one_does_not(
    signed, tmp_path: Path, capsys
) -> None:
    path = tmp_path / "report.json"
    path.write_bytes(shape(signed, "json"))
    call_command("verify_report", str(path))
    assert "22 of 22 headline figures agree" in capsys.readouterr().out

    path.write_bytes(shape(signed, "json").replace(b'"counts": "yes"', b'"counts": "no"'))
    with pytest.raises(CommandError) as fault:
        call_command("verify_report", str(path), "--json")
    found = json.loads(capsys.readouterr().out)
    assert fault.value.returncode == 1
    assert not found["stands"] and any(not figure["agrees"] for figure in found["figures"])


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7", b"[]", b'{"parts": 1}'])
def test_what_is_no_report_is_a_wrong_call(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "file"
    path.write_bytes(content)

    with pytest.raises(CommandError) as fault:
        call_command("verify_report", str(path))
    assert fault.value.returncode == 2
    with pytest.raises(CommandError) as missing:
        call_command("verify_report", str(tmp_path / "nothing"))
    assert missing.value.returncode == 2
