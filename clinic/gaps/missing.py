"""Fields that nobody has filled, by patient, and the figures that each of them can change."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from clinic.checks import CheckRow, stored_rows
from clinic.clock import today
from clinic.models import Clinic

PATIENTS_AT_ONCE = 500
# An episode younger than this may still be under way; common practice, no source.
COURSE_DAYS = 60
Rows = dict[str, list[CheckRow]]


@dataclass(frozen=True)
class Missing:
    """One field of one row (or a whole row), its form, and what it can change."""

    what: str
    figures: str
    verb: str  # amend, or add
    subject: str
    uid: UUID  # of the row, or of the row it hangs on


@dataclass(frozen=True)
class MissingOf:
    """Everything missing of one patient."""

    patient: str
    uid: UUID
    fields: tuple[Missing, ...]


_CONFIRMED = "whether it is confirmed: the peritonitis rate"
_NEXT = "the category of the next episode, and whether that one counts"
# subject, column, how it is called, the figures; asked of every standing row.
_FIELDS = (
    ("pd_spells", "modality", "modality", "rates by modality"),
    ("pd_spells", "assistance", "who connects", "rates by who connects"),
    ("catheters", "insertion_method", "insertion method", "rates by insertion method"),
    ("trainings", "trainer", "trainer", "rates by trainer"),
    ("effluent_samples", "dwell_hours", "dwell", _CONFIRMED),
    ("effluent_samples", "leucocytes_per_ul", "count of white cells", _CONFIRMED),
    ("effluent_samples", "neutrophil_percent", "share of neutrophils", _CONFIRMED),
    ("effluent_samples", "culture", "culture", "culture-negative and not-cultured shares"),
    ("catheter_infections", "purulent_discharge", "pus or not", "exit-site infection rate"),
)
# The same, of episodes whose course should be over.
_OF_THE_COURSE = (
    ("peritonitis", "therapy_completed_on", "last dose", _NEXT),
    ("peritonitis", "resolved", "outcome", "medical cure share"),
    ("peritonitis", "first_antibiotic_at", "first antibiotic", "refractory share"),
    ("catheter_infections", "therapy_completed_on", "last dose", _NEXT),
)
# Long overdue, it has left Today.
_OPEN_ACTION = ("root_cause_reviews", "closed_on", "action", "")  # it changes no figure
# Without any row of the subject.
_ROWS = (
    ("pd_spells", "no PD spell at all", "days at risk: nothing of this patient can count"),
    ("catheters", "no catheter at all", "rates by catheter age, insertion-related share"),
    ("trainings", "no training at all", "rates by time since training"),
)


def missing_fields(clinic: Clinic) -> list[MissingOf]:
    """Patients with something missing, by record number."""
    over = today(clinic) - timedelta(days=COURSE_DAYS)
    patients = clinic.patients.filter(withdrawn_at=None).order_by("number")
    known = {pk: (number, uid) for pk, number, uid in patients.values_list("pk", "number", "uid")}
    found, pks = [], list(known)
    for start in range(0, len(pks), PATIENTS_AT_ONCE):
        for pk, rows in stored_rows(pks[start : start + PATIENTS_AT_ONCE]).items():
            fields = tuple(_of_patient(rows, known[pk][1], over))
            if fields:
                found.append(MissingOf(*known[pk], fields))
    return found


def _of_patient(rows: Rows, uid: UUID, over: date) -> Iterator[Missing]:
    for subject, said, figures in _ROWS:
        if not rows.get(subject):
            yield Missing(said, figures, "add", subject, uid)
    for field in _FIELDS:
        yield from _of_rows(rows, *field, lambda row: True)
    for field in _OF_THE_COURSE:
        yield from _of_rows(
            rows, *field, lambda row: bool(row["onset_on"] and row["onset_on"] <= over)
        )
    yield from _signs(rows)
    yield from _samples(rows)
    yield from _of_rows(
        rows, *_OPEN_ACTION, lambda row: bool(row["due_on"] and row["due_on"] <= over)
    )


def _of_rows(
    rows: Rows, subject: str, column: str, said: str, figures: str,
    asked: Callable[[CheckRow], bool],
) -> Iterator[Missing]:  # fmt: skip
    for row in rows.get(subject, ()):
        if row[column] in ("", None) and asked(row):
            yield Missing(f"{said} of {row.name}", figures, "amend", subject, row.where.uid)


def _signs(rows: Rows) -> Iterator[Missing]:
    """Either sign alone meets the criterion: it is open only while neither is yes."""
    for row in rows.get("peritonitis", ()):
        given = (row["cloudy_effluent"], row["abdominal_pain"])
        if "yes" not in given and "" in given:
            what = f"cloudy effluent or pain of {row.name}"
            yield Missing(what, _CONFIRMED, "amend", "peritonitis", row.where.uid)


def _samples(rows: Rows) -> Iterator[Missing]:
    sampled = {row["episode"] for row in rows.get("effluent_samples", ())}
    for row in rows.get("peritonitis", ()):
        if row["episode"] not in sampled:
            what = f"effluent sample of {row.name}"
            yield Missing(what, _CONFIRMED, "add", "effluent_samples", row.where.uid)
