"""calibrate_signals: a table, JSON or a file; the same seed, the same figures."""

import csv
import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from surveillance.signals import calibration

NAMES = [
    "rule", "patients", "rate_ratio", "clinics", "alarms_per_clinic_year",
    "stated_per_clinic_year", "median_months", "found_within_year_share",
]  # fmt: skip


@pytest.fixture(autouse=True)
def _small(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(calibration, "calibrate", _of_two_sizes(calibration.calibrate))


def _of_two_sizes(calibrate):
    return lambda known, clinics, seed, **more: calibrate(known, clinics, seed, (5, 8), **more)


def test_json_says_the_seed_and_every_line(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("calibrate_signals", clinics=2, seed=4, json=True)
    said = json.loads(capsys.readouterr().out)
    assert said["seed"] == 4
    assert [list(row) for row in said["signals"]] == [NAMES] * len(said["signals"])
    assert {row["patients"] for row in said["signals"]} == {5, 8}


def test_a_table_for_people_and_a_file_for_pages(capsys, tmp_path: Path) -> None:
    call_command("calibrate_signals", clinics=2, seed=4)
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].split() == NAMES
    path = tmp_path / "calibration.csv"
    call_command("calibrate_signals", clinics=2, seed=4, csv=str(path))
    with path.open(newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0] == NAMES
    assert len(rows) == len(lines)


@pytest.mark.parametrize("wrong", [{"clinics": 0}, {"seed": -1}, {"frailty": -0.5}])
def test_a_wrong_call_says_so(wrong: dict) -> None:
    with pytest.raises(CommandError) as error:
        call_command("calibrate_signals", **wrong)
    assert error.value.returncode == 2
