"""Check a rate report without a database: each byte, each figure from the report's own lists."""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from reports.verify.recount import Checked
from reports.verify.report import NotAReport, Verdict, verify

EXAMPLE = "example: manage.py verify_report TQ-2025-Q3-v1-rate-report.zip"
DATA_AT_FAULT, CALL_IS_WRONG, MACHINE = 1, 2, 3


class Command(BaseCommand):
    help = (
        "Recount every headline figure of a rate report (ZIP or JSON) from its own ledger and line "
        "list, and name any file in it that was changed."
    )
    requires_system_checks = ()

    def create_parser(self, *args: Any, **options: Any) -> ArgumentParser:
        options |= {"epilog": EXAMPLE, "formatter_class": RawDescriptionHelpFormatter}
        return super().create_parser(*args, **options)

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="the ZIP or the JSON of a rate report")
        parser.add_argument("--json", action="store_true", help="the findings as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        verdict = _verdict(options["file"])
        self.stdout.write(_as_json(verdict) if options["json"] else _as_text(verdict))
        if not verdict.stands:
            raise CommandError("This report does not stand.", returncode=DATA_AT_FAULT)


def _verdict(name: str) -> Verdict:
    path = Path(name)
    if not path.is_file():
        raise CommandError(f"{name}: there is no such file.", returncode=CALL_IS_WRONG)
    try:
        content = path.read_bytes()
    except OSError as fault:
        raise CommandError(f"{name}: {fault.strerror}.", returncode=MACHINE) from None
    try:
        return verify(content)
    except NotAReport as fault:
        raise CommandError(f"{name}: {fault}.", returncode=CALL_IS_WRONG) from None


def _as_text(verdict: Verdict) -> str:
    lines = [f"fault: {fault}" for fault in verdict.faults]
    lines += [_line(figure) for figure in verdict.figures]
    agree = sum(figure.agrees for figure in verdict.figures)
    lines.append(f"{agree} of {len(verdict.figures)} headline figures agree; "
                 f"{len(verdict.faults) or 'no'} fault(s) in the files.")  # fmt: skip
    return "\n".join(lines)


def _line(figure: Checked) -> str:
    said = "; ".join(
        f"{name} reported {reported or 'none'}, recounted {found or 'none'}"
        for name, reported, found in figure.differs
    )
    return f"{figure.figure} {figure.period} {figure.measure}: {said or 'agrees'}"


def _as_json(verdict: Verdict) -> str:
    figures = [
        {
            "figure": one.figure, "period": one.period, "measure": one.measure,
            "agrees": one.agrees,
            "differs": [
                {"quantity": name, "reported": reported, "recounted": found}
                for name, reported, found in one.differs
            ],
        }
        for one in verdict.figures
    ]  # fmt: skip
    said = {"stands": verdict.stands, "faults": verdict.faults, "figures": figures}
    return json.dumps(said, ensure_ascii=False, indent=1)
