"""The workbook, opened and reckoned anew by a spreadsheet program of its own: LibreOffice."""

from __future__ import annotations

import io
import subprocess
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from clinic.models import Patient
from reports.rate_report.part import Report
from reports.rate_report.report import rate_report
from reports.rate_report.tables import HOST
from reports.rate_report.workbook import workbook_bytes
from surveillance.models import Snapshot
from surveillance.snapshots import prepare_quarter
from tests.factories import make_catheter_infection
from tests.reports.stored import NUMBERS, QUARTER, YEAR

Sheet = list[dict[str, object]]
_ALWAYS_RECKON = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""


def reckoned(content: bytes, folder: Path, soffice: str) -> dict[str, Sheet]:
    """Every sheet after LibreOffice has reckoned all formulas anew."""
    (folder / "profile" / "user").mkdir(parents=True)
    (folder / "profile" / "user" / "registrymodifications.xcu").write_text(_ALWAYS_RECKON)
    (folder / "report.xlsx").write_bytes(content)
    command = [
        soffice, "--headless", f"-env:UserInstallation=file://{folder}/profile", "--convert-to",
        "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"), str(folder / "report.xlsx"),
    ]  # fmt: skip
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return sheets_of((folder / "out" / "report.xlsx").read_bytes())


def sheets_of(content: bytes, data_only: bool = True) -> dict[str, Sheet]:
    book = openpyxl.load_workbook(io.BytesIO(content), data_only=data_only)
    found: dict[str, Sheet] = {}
    for sheet in book:
        head, *rows = sheet.values
        found[sheet.title] = [dict(zip(head, row, strict=True)) for row in rows]
    return found


@pytest.fixture
def report(draft: Snapshot, data_manager) -> Report:
    """With an infection of both sites, that is two rows and one infection."""
    patient = Patient.objects.get(number=NUMBERS[6])
    make_catheter_infection(
        patient, infection="X9", site="both", onset_on=date(2025, 2, 3), tunnel_inflammation="yes"
    )
    prepared = prepare_quarter(clinic=draft.clinic, quarter=QUARTER, by=data_manager)
    return rate_report(prepared, QUARTER, HOST)


def test_libreoffice_reckons_every_headline_figure(
    report: Report, tmp_path: Path, found_tool: Callable[[str], str]
) -> None:
    sheets = reckoned(workbook_bytes(report), tmp_path, found_tool("soffice"))

    headline = report.table("headline").rows
    assert len(sheets["recount"]) == len(headline) == 22
    for found, row in zip(sheets["recount"], headline, strict=True):
        assert found["agrees"] == "agrees", found
        for name in ("numerator", "denominator", "value", "lower", "upper"):
            expected = float(row[name]) if row[name] else None
            assert found[name] in ("", None) if expected is None else found[name] == pytest.approx(
                expected, rel=1e-9, abs=1e-12
            ), (row["figure"], name)  # fmt: skip
    once = next(row for row in headline if row["measure"] == "catheter_infection_rate")
    both = [row for row in headline if row["measure"].startswith(("exit", "tunnel"))][:2]
    assert int(once["numerator"]) == sum(int(row["numerator"]) for row in both) - 1


def test_a_changed_ledger_no_longer_agrees(
    report: Report, tmp_path: Path, found_tool: Callable[[str], str]
) -> None:
    """So the sheet reckons, and does not only show what was stored."""
    ledger = report.table("ledger")
    first, *others = ledger.rows
    longer = replace(ledger, rows=[first | {"days": str(int(first["days"]) + 1)}, *others])
    parts = tuple(
        replace(part, tables=tuple(longer if one is ledger else one for one in part.tables))
        for part in report.parts
    )
    changed = workbook_bytes(replace(report, parts=parts))
    sheets = reckoned(changed, tmp_path, found_tool("soffice"))

    differ = {row["measure"] for row in sheets["recount"] if row["agrees"] == "differs"}
    assert first["period"] == YEAR and "peritonitis_rate" in differ
    assert not {row["measure"] for row in sheets["recount"] if row["period"] == QUARTER} & {
        row["measure"] for row in sheets["recount"]
        if row["agrees"] == "differs" and row["period"] == QUARTER
    }  # fmt: skip


def test_cells_are_typed_and_each_table_has_its_sheet(report: Report) -> None:
    sheets = sheets_of(workbook_bytes(report))

    assert set(sheets) == {"parts", "recount", *(table.name for table in report.tables)}
    first = sheets["ledger"][0]
    assert isinstance(first["days"], int) and isinstance(first["patient"], str)
    assert all(row["lower"] is None for row in sheets["headline"] if not row["interval"])


def test_only_our_own_formulas_are_formulas(report: Report) -> None:
    sheets = sheets_of(workbook_bytes(report), data_only=False)

    with_formulas = {
        name for name, rows in sheets.items()
        if any(str(cell).startswith("=") for row in rows for cell in row.values())
    }  # fmt: skip
    assert with_formulas == {"recount", "patients"}
