"""Puts made-up clinics through every signal: false alarms, and months until a rise is found."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import asdict
from math import isfinite
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from tqdm import tqdm

from clinic.catalogue import organism_rows
from clinic.management.exit_codes import CALL

EXAMPLE = "Example: manage.py calibrate_signals --clinics 400 --seed 1 --json"


class Command(BaseCommand):
    requires_system_checks = ()  # neither pages nor the database have a part in this
    help = (
        "Simulate steady and changed clinics of 15, 30, 60 and 200 patients and print, for each "
        "signal, false alarms per clinic-year and months to detection at 1.5, 2 and 3 times the "
        f"rate. {EXAMPLE}"
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--clinics", type=int, default=200, help="made of each size and rate (default 200)"
        )
        parser.add_argument("--seed", type=int, default=1, help="the same seed, the same figures")
        parser.add_argument(
            "--frailty", type=float, default=0.0,
            help="how far patients differ: the variance of their own rates over the mean; above 0 "
            "they also come and go (default 0: all alike)",
        )  # fmt: skip
        shape = parser.add_mutually_exclusive_group()
        shape.add_argument("--json", action="store_true", help="print JSON, not a table")
        shape.add_argument("--csv", metavar="FILE", help="write the table to this file")

    def handle(self, *args: Any, **options: Any) -> str | None:
        if options["clinics"] < 1 or options["seed"] < 0 or not 0 <= options["frailty"] <= 10:
            allowed = "--clinics: 1 or more; --seed: 0 or more; --frailty: 0 to 10"
            raise CommandError(allowed, returncode=CALL)
        rows = list(_rows(options["clinics"], options["seed"], options["frailty"]))
        if options["json"]:
            return json.dumps({"seed": options["seed"], "signals": rows}, indent=1)
        if options["csv"]:
            Path(options["csv"]).write_text(_csv(rows), encoding="utf-8")
            return None
        return _table(rows)


def _rows(clinics: int, seed: int, frailty: float) -> list[dict[str, Any]]:
    import pandas as pd

    from surveillance.cases.organisms import organisms
    from surveillance.signals.calibration import SIZES, calibrate

    known = organisms(pd.DataFrame(organism_rows(), dtype=object))
    blocks = calibrate(known, clinics, seed, frailty_variance=frailty)
    shown = tqdm(blocks, total=len(SIZES), unit="size", disable=None)
    return [_plain(asdict(one)) for block in shown for one in block]


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    """What is not finite (never found, not stated) is empty; figures to four digits."""
    return {
        name: (round(value, 4) if isfinite(value) else None) if isinstance(value, float) else value
        for name, value in row.items()
    }


def _csv(rows: list[dict[str, Any]]) -> str:
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _table(rows: list[dict[str, Any]]) -> str:
    names = list(rows[0])
    cells = [names, *([_text(row[name]) for name in names] for row in rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in cells
    )


def _text(value: object) -> str:
    return "-" if value is None else str(value)
