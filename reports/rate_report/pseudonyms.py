"""Pseudonyms of patients and months instead of days, for whoever reads outside the clinic."""

from __future__ import annotations

import base64
from collections.abc import Iterable

from django.utils.crypto import salted_hmac

Cells = dict[str, str]
_SALT = "reports.rate_report.pseudonyms"
SERIES = "rate-report"  # a patient keeps one name through the reports of this series
_LETTERS = 7  # 35 bits: in a clinic of 1,000 two patients share one about once in 70,000 clinics


def pseudonym(recipient: str, clinic: str, thing: str, *more: str) -> str:
    """A keyed name: stable in this recipient's series, unlinkable between recipients."""
    said = "\x1f".join((recipient, SERIES, clinic, thing, *more))
    digest = salted_hmac(_SALT, said, algorithm="sha256").digest()
    return base64.b32encode(digest).decode()[:_LETTERS]


def _patient(recipient: str, row: Cells) -> str:
    return pseudonym(recipient, row["clinic"], "patient", row["patient"])


def _episode(recipient: str, row: Cells, field: str) -> str:
    """Episodes are named by the clinic's own text, which may hold a record number."""
    if not row[field]:
        return ""
    return pseudonym(recipient, row["clinic"], "episode", row["patient"], row[field])


def _month(day: str) -> str:
    return day[:7]


def _case(row: Cells, recipient: str) -> Cells:
    hidden = dict(row)
    hidden["patient"] = _patient(recipient, row)
    hidden["episode"] = _episode(recipient, row, "episode")
    hidden["index_episode"] = _episode(recipient, row, "index_episode")
    hidden["onset_month"] = _month(row["onset_on"])
    return hidden


def _stretch(row: Cells, recipient: str) -> Cells:
    hidden = dict(row)
    hidden["patient"] = _patient(recipient, row)
    hidden["started_month"] = _month(row["started_on"])
    hidden["last_day_month"] = _month(row["last_day_on"])
    return hidden


def _renamed(columns: Iterable[str], names: dict[str, str]) -> tuple[str, ...]:
    return tuple(names.get(column, column) for column in columns)


def _kept(rows: list[Cells], columns: tuple[str, ...]) -> list[Cells]:
    return [{column: row[column] for column in columns} for row in rows]


def _dissent(row: Cells, recipient: str) -> Cells:
    return row | {
        "patient": _patient(recipient, row),
        "episode": _episode(recipient, row, "episode"),
        "onset_month": _month(row["onset_on"]),
    }


# Names, free text and days stay with the clinic.
_DISSENT = ("clinic", "patient", "episode", "onset_month", "sequence", "dissent")


def pseudonymised_dissents(
    rows: list[Cells], recipient: str
) -> tuple[tuple[str, ...], list[Cells]]:
    """Which categories are disputed, and for which other; by whom and why stays in the clinic."""
    hidden = [_dissent(row, recipient) for row in rows]
    hidden.sort(key=lambda row: [row[name] for name in ("onset_month", "patient", "episode")])
    return _DISSENT, _kept(hidden, _DISSENT)


_CASE_ORDER = ("onset_month", "patient", "kind", "episode")


def pseudonymised_cases(
    columns: tuple[str, ...], rows: list[Cells], recipient: str
) -> tuple[tuple[str, ...], list[Cells]]:
    """Case rows with the onset's month; sorted anew, so that order tells no day."""
    named = _renamed(columns, {"onset_on": "onset_month"})
    hidden = [_case(row, recipient) for row in rows]
    hidden.sort(key=lambda row: [row[name] for name in _CASE_ORDER])
    return named, _kept(hidden, named)


def pseudonymised_ledger(
    columns: tuple[str, ...], rows: list[Cells], recipient: str
) -> tuple[tuple[str, ...], list[Cells]]:
    """Ledger rows with months and their exact number of days; sorted by pseudonym, then time."""
    named = _renamed(columns, {"started_on": "started_month", "last_day_on": "last_day_month"})
    ordered = sorted(rows, key=lambda row: (_patient(recipient, row), row["started_on"]))
    return named, _kept([_stretch(row, recipient) for row in ordered], named)
