"""Faults within one row: a last day before its first, an episode without any onset."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo

from clinic.checks.rows import Finding, PatientRows, fault, onset
from clinic.columns import SUBJECTS
from clinic.reading import day_text

_EARLIER = {
    "birth_date": "before birth",
    "inserted_on": "before insertion",
    "onset_on": "before onset",
    "admitted_on": "before admission",
}


def ends_before_starts(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for name, subject_rows in rows.items():
        for earlier, later in SUBJECTS[name].order:
            for row in subject_rows:
                first, last = row[earlier], row[later]
                if first and last and last < first:
                    said = f"{_EARLIER.get(earlier, 'before its first day')} ({day_text(first)})"
                    marks = ((row, later), (row, earlier))
                    yield fault("end_before_start", said, *marks, allowed=f"{earlier} or later")


def episodes_without_onset(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    """Also the therapy that ends before an onset which only the arrival or a sample tells."""
    for row in rows.get("peritonitis", ()):
        began, ended = onset(row, rows, zone), row["therapy_completed_on"]
        if began is None:
            said = "no onset at all: onset_on, presented_at or a sample's collected_at is needed"
            yield fault("no_onset", said, (row, "onset_on"), allowed="a day as YYYY-MM-DD")
        elif not row["onset_on"] and ended and ended < began:
            said = f"before onset ({day_text(began)})"
            yield fault("end_before_start", said, (row, "therapy_completed_on"))
