"""A table schema for each CSV, so that public tools know what a column holds and check it."""

from __future__ import annotations

from typing import Any

from reports.rate_report.part import HIDDEN, Field, Report, Table

_TYPES = {"text": "string", "whole": "integer", "number": "number"}


def package(report: Report, name: str) -> dict[str, Any]:
    """The description of a data package (Frictionless Data Package v1, tabular)."""
    return {
        "profile": "tabular-data-package",
        "name": name,
        "title": f"Rate report of {report.head['clinic']}, {report.head['period']}",
        "id": report.head["report_id"],
        "version": str(report.head["version"] or "draft"),
        "resources": [_resource(table) for table in report.tables],
    }


def table_path(table: Table) -> str:
    return f"tables/{table.name}.csv"


def _resource(table: Table) -> dict[str, Any]:
    return {
        "name": table.name,
        "title": table.title,
        "profile": "tabular-data-resource",
        "path": table_path(table),
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "doubleQuote": True},
        "schema": {
            "fields": [_field(one) for one in table.fields],
            # An empty cell is missing; this word says that a small count is there and hidden.
            "missingValues": ["", HIDDEN],
        },
    }


def _field(one: Field) -> dict[str, str]:
    return {"name": one.name, "type": _TYPES[one.kind], "description": one.means}
