"""Every row of bad_inputs.csv that names a form or the API is a test, or says why not yet.

fixtures/bad_inputs.csv is the list of inputs that the house is held to, with what must happen.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from tests.house.tree import ROOT

_API, _FORM = "clinic/api/test_bad_inputs.py", "clinic/forms/test_bad_inputs.py"
_TABLE = "clinic/bad_inputs.py"  # its rows are sent to the API and through forms
_ROWS, _ORDER = "clinic/views/test_rows.py", "clinic/api/test_order.py"
_SIGN_IN, _SIGN_OFF = "clinic/views/test_second_step.py", "surveillance/snapshots/test_sign_off.py"

# The files under tests/ in which the row's id stands at its test.
CLAIMED: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(
        ("D01", "D02", "D03", "D04", "D05", "D06", "D07", "D08", "D09", "D10", "D11", "D12", "D14",
         "D16", "D17", "D18", "N02", "N03", "N04", "N05", "N08", "N11", "T01", "T02", "T03", "T07",
         "T08", "T10", "L01", "L02", "L04", "L05", "L10"),
        (_TABLE,),
    ),
    "D13": (_TABLE, _API),
    "D15": (_TABLE, _ROWS),
    "N01": (_TABLE, _ROWS),
    "N06": (_API,),
    "N07": (_FORM,),
    "N09": (_TABLE,),
    "N10": (_TABLE,),
    "T04": (_API,),
    "T05": (_FORM,),
    "T06": (_TABLE, _API, _FORM),
    "T09": (_TABLE, _API),
    "I02": (_ORDER,),
    "I03": ("clinic/checks/test_patient.py",),
    "L03": (_API, _FORM),
    "L06": ("clinic/checks/test_patient.py",),  # in a form a susceptibility hangs on its isolate
    "L07": (_FORM,),
    "L08": ("journeys/test_by_keyboard.py",),
    "L09": (_API, _FORM),
    "L13": (_SIGN_OFF,),
    "L14": ("clinic/views/test_judgements.py",),
    "L15": (_TABLE, _FORM),
    "C01": (_ORDER, _ROWS),
    "C02": (_API, _FORM),
    "C04": ("faults/test_at_once.py",),
    "C07": ("surveillance/test_jobs.py",),
    "C08": ("clinic/api/test_subjects.py", _FORM),
    "C09": ("clinic/views/test_read_log.py",),
    "C11": (_FORM,),
    "C13": (_SIGN_OFF,),
    "S01": (_ORDER,),
    "S02": (_TABLE, _API),
    "S03": (_ORDER,),
    "S05": (_API,),
    "S08": ("clinic/api/test_tokens.py",),
    "S09": (_SIGN_IN,),
    "S10": (_SIGN_IN,),
    "S13": ("clinic/views/test_account.py",),
    "S14": (_API,),
    "S16": ("clinic/views/test_account.py",),
    "S17": ("reports/test_report.py",),
    "S19": (_SIGN_OFF,),
    "S20": ("clinic/views/test_people.py",),
}  # fmt: skip
_NO_UPLOAD = "no page takes a file yet: Loads comes with the laboratory feed"
LATER: dict[str, str] = {
    **dict.fromkeys(("F09", "F10", "F11", "F12", "F13"), _NO_UPLOAD),
    "S15": "no page takes a file yet; the limit is the web server's own",
}


def _rows() -> dict[str, dict[str, str]]:
    """Rows that name a form or the API; what the file itself calls later is skipped."""
    with (ROOT / "fixtures" / "bad_inputs.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if not row["id"].startswith("#")]
    return {
        row["id"]: row for row in rows
        if {"form", "api"} & {place.strip() for place in row["where"].split(",")}
        and not row["must_happen"].startswith("(later)")
    }  # fmt: skip


def test_every_row_is_claimed_by_a_test_or_says_why_not_yet() -> None:
    assert set(_rows()) == set(CLAIMED) | set(LATER)
    assert not set(CLAIMED) & set(LATER)


@pytest.mark.parametrize("row", CLAIMED)
def test_the_rows_id_stands_at_its_test(row: str) -> None:
    for name in CLAIMED[row]:
        text = (Path(ROOT) / "tests" / name).read_text(encoding="utf-8")
        assert re.search(rf"\b{row}\b", text), f"{name} does not name {row}"
