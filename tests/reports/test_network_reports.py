"""The command writes the reports of a network clinic by clinic, each into a file of its own."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from tests.reports.stored import QUARTER


def test_a_network_s_reports_are_written_clinic_by_clinic(signed, saltmere, tmp_path: Path) -> None:
    call_command(
        "rate_report", network="Estuary & Fells", period=QUARTER, format="json",
        output=str(tmp_path / "out"),
    )  # fmt: skip

    (written,) = (tmp_path / "out").iterdir()  # Saltmere has no figures
    assert json.loads(written.read_text(encoding="utf-8"))["clinic"] == "TQ"
    with pytest.raises(CommandError) as again:
        call_command(
            "rate_report", network="Estuary & Fells", period=QUARTER, format="json",
            output=str(tmp_path / "out"),
        )  # fmt: skip
    assert again.value.returncode == 2
    with pytest.raises(CommandError) as nowhere:
        call_command(
            "rate_report", network="Nowhere", period=QUARTER, format="json", output=str(tmp_path)
        )
    assert nowhere.value.returncode == 2
