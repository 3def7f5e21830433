"""One report file, checked: is every byte as it was written, and do the lists give the figures."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from dataclasses import dataclass
from typing import Any

from reports.verify.bag import Bag, NoBag, open_bag
from reports.verify.recount import Checked, NoLists, recount

TABLES = "data/tables/"
DOCUMENT = "data/report.json"


class NotAReport(ValueError):
    """Neither a bag nor a JSON report of ours; the sentence says why."""


@dataclass(frozen=True)
class Verdict:
    """What was found; without faults and with every figure agreeing the report stands."""

    kind: str  # zip or json
    faults: list[str]
    figures: list[Checked]

    @property
    def stands(self) -> bool:
        return not self.faults and all(figure.agrees for figure in self.figures)


def verify(content: bytes) -> Verdict:
    if content[:2] == b"PK" or zipfile.is_zipfile(io.BytesIO(content)):
        return _bag_verdict(content)
    try:
        document = json.loads(content.decode())
    except (UnicodeDecodeError, ValueError):
        raise NotAReport("neither the ZIP nor the JSON of a rate report") from None
    if not isinstance(document, dict) or not isinstance(document.get("parts"), list):
        raise NotAReport("a JSON document, but no rate report")
    faults: list[str] = []
    figures = _recounted(_of_document(document), faults)
    return Verdict("json", faults, figures)


def _bag_verdict(content: bytes) -> Verdict:
    try:
        bag = open_bag(content)
    except NoBag as fault:
        return Verdict("zip", [str(fault)], [])
    faults = list(bag.faults)
    figures = _recounted(_of_bag(bag), faults)
    if not faults:
        faults += _shapes_differ(bag)
    return Verdict("zip", faults, figures)


def _recounted(tables: dict[str, list[dict[str, str]]], faults: list[str]) -> list[Checked]:
    try:
        return recount(tables)
    except NoLists as fault:
        faults.append(str(fault))
    except (KeyError, ValueError, TypeError) as fault:
        faults.append(f"the tables cannot be read as numbers: {fault}")
    return []


def _of_bag(bag: Bag) -> dict[str, list[dict[str, str]]]:
    return {
        path.removeprefix(TABLES).removesuffix(".csv"): _rows(content)
        for path, content in bag.files.items() if path.startswith(TABLES)
    }  # fmt: skip


def _rows(content: bytes) -> list[dict[str, str]]:
    text = content.decode(errors="replace")
    return [
        {name: value or "" for name, value in row.items() if name}
        for row in csv.DictReader(io.StringIO(text, newline=""))
    ]


def _of_document(document: dict[str, Any]) -> dict[str, list[dict[str, str]]]:
    return {
        name: [{key: _cell(value) for key, value in row.items()} for row in rows]
        for part in document["parts"] for name, rows in part["tables"].items()
    }  # fmt: skip


def _cell(value: Any) -> str:
    if value is None:
        return ""
    return repr(value) if isinstance(value, float) else str(value)


def _shapes_differ(bag: Bag) -> list[str]:
    """The JSON in the bag must hold the very rows of the CSV files."""
    document = _of_document(json.loads(bag.files[DOCUMENT])) if DOCUMENT in bag.files else {}
    found = _of_bag(bag)
    return [
        f"{TABLES}{name}.csv: its figures differ from report.json"
        for name in ("headline", "ledger", "line_list") if found.get(name) != document.get(name)
    ]  # fmt: skip
