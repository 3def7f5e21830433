"""The report as the data of a printed sheet: rounded, wide tables cut to what is read."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders

from reports.rate_report.part import Part, Picture, Report, Table
from reports.writers.pdf import pdf_bytes

_INKS = ("fill-", "line-", "text-", "mark-")
_RULE = re.compile(r"^\.(?:drawing \.)?([a-z0-9-]+) \{ ([^}]*) \}", re.MULTILINE)
_TOKEN = re.compile(r"--([a-z0-9-]+): ([^;]+);")


def report_pdf(report: Report) -> bytes:
    pictures = [picture for part in report.parts for picture in part.pictures]
    return pdf_bytes(_data(report), {one.name: _inked(one) for one in pictures})


def _data(report: Report) -> dict[str, Any]:
    head = report.head
    version = f"version {head['version']}" if head["version"] else "no version"
    return {
        "title": str(head["title"]),
        "author": str(head["clinic_name"]),
        "description": f"Rate report {head['clinic']} {head['period']}, {head['state']}",
        "running": f"{head['title']}; {head['rule_set']}; data known on {head['as_of']}",
        "state": f"{head['state']}, {version}",
        "footer": f"Report {head['report_id']}, software {head['software_version']}",
        "parts": [_part(part) for part in report.parts],
    }


def _part(part: Part) -> dict[str, Any]:
    return {
        "heading": f"{part.number}  {part.title}",
        "says": list(part.says),
        "pictures": [
            {
                "file": f"{one.name}.svg",
                "title": one.title,
                "summary": one.summary,
                "note": one.note,
            }
            for one in part.pictures
        ],
        "tables": [_table(one) for one in part.tables if any(field.head for field in one.fields)],
    }


def _table(table: Table) -> dict[str, Any]:
    fields = [one for one in table.fields if one.head]
    return {
        "title": table.title,
        "note": table.note,
        "columns": [
            {"head": one.head, "share": one.share, "right": one.kind != "text"} for one in fields
        ],
        "rows": [[row[one.name] for one in fields] for row in table.read],
    }


@cache
def _style() -> str:
    """The classes of a drawing with the colours of the light page: paper knows no variables."""
    tokens = dict(_TOKEN.findall(_sheet("tokens.css").partition("@media")[0]))
    rules = []
    for name, said in _RULE.findall(_sheet("charts.css")):
        inked = re.sub(r"var\(--([a-z0-9-]+)\)", lambda found: tokens[found[1]], said)
        rules.append(f".{name} {{ {inked} }}")
    return "text { font-family: 'Libertinus Serif'; font-size: 13.5px; fill: #171c26 } " + " ".join(
        rules
    )


def _sheet(name: str) -> str:
    found = finders.find(f"clinic/{name}")
    if not found:
        raise FileNotFoundError(f"clinic/{name}")
    return Path(found).read_text(encoding="utf-8")


def _inked(picture: Picture) -> str:
    """The drawing with its style inside, as a file of its own."""
    opening, _, rest = picture.svg.partition(">")
    space = "" if "xmlns=" in opening else ' xmlns="http://www.w3.org/2000/svg"'
    return f"{opening}{space}><style>{_style()}</style>{rest}"
