"""The report as one JSON document: numbers as numbers, an empty cell of a number as null."""

from __future__ import annotations

from typing import Any

from reports.rate_report.part import Part, Report, Table, typed


def document(report: Report) -> dict[str, Any]:
    """Head first, then the thirteen parts in order, each with its sentences and its tables."""
    return dict(report.head) | {"parts": [_part(part) for part in report.parts]}


def _part(part: Part) -> dict[str, Any]:
    return {
        "number": part.number,
        "name": part.name,
        "title": part.title,
        "says": list(part.says),
        "tables": {table.name: rows(table) for table in part.tables},
    }


def rows(table: Table) -> list[dict[str, Any]]:
    kinds = [(one.name, one.kind) for one in table.fields]
    return [{name: typed(kind, row[name]) for name, kind in kinds} for row in table.rows]
