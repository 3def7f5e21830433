"""What the record says around each case of a signal: organisms, tests, people, places."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from clinic.local_names import named
from clinic.models import Call, Clinic, PdSpell, Peritonitis, Training

CaseKey = tuple[str, str]  # record number, episode


@dataclass
class Around:
    """One case; an empty text or an empty set says that nobody wrote it down."""

    uid: UUID
    patient_uid: UUID
    organisms: frozenset[str] = frozenset()
    tested: dict[str, str] = field(default_factory=dict)  # S, I or R by agent
    trainer: str = ""
    trained_on: date | None = None
    modality: str = ""
    assistance: str = ""
    place: str = ""
    lots: str = ""

    @property
    def pattern(self) -> str:
        """Susceptibilities in one line, agents in alphabetical order."""
        return ", ".join(f"{agent} {result}" for agent, result in sorted(self.tested.items()))


def case_context(clinic: Clinic, cases: Iterable[tuple[CaseKey, date]]) -> dict[CaseKey, Around]:
    """By case; one that was withdrawn or renamed since it was counted is left out."""
    onsets = dict(cases)
    rows = Peritonitis.objects.filter(
        patient__clinic=clinic, withdrawn_at=None, patient__withdrawn_at=None,
        patient__number__in={number for number, _ in onsets},
        episode__in={episode for _, episode in onsets},
    ).select_related("patient__clinic")  # fmt: skip
    rows = rows.prefetch_related("samples__isolates__susceptibilities")
    found = {
        key: _around(row, onsets[key]) for row in rows
        if (key := (row.patient.number, row.episode)) in onsets
    }  # fmt: skip
    return found


def _around(row: Peritonitis, onset_on: date) -> Around:
    isolates = [
        isolate
        for sample in row.samples.all() if sample.withdrawn_at is None
        for isolate in sample.isolates.all() if isolate.withdrawn_at is None
    ]  # fmt: skip
    training = _training(row, onset_on)
    spell = _spell(row, onset_on)
    return Around(
        uid=row.uid, patient_uid=row.patient.uid,
        organisms=frozenset(named(row.patient.clinic, one.organism) for one in isolates),
        tested={
            each.agent: each.result
            for one in isolates for each in one.susceptibilities.all()
            if each.withdrawn_at is None
        },
        trainer=training.trainer if training else "",
        trained_on=training.completed_on if training else None,
        modality=spell.modality if spell else "", assistance=spell.assistance if spell else "",
        place=row.exchange_place, lots=_lots(row),
    )  # fmt: skip


def _training(row: Peritonitis, onset_on: date) -> Training | None:
    """The latest on or before the onset, as the clock of the measures takes it."""
    rows = Training.objects.filter(
        patient=row.patient, withdrawn_at=None, completed_on__lte=onset_on
    )
    return rows.order_by("completed_on", "-trainer").last()


def _spell(row: Peritonitis, onset_on: date) -> PdSpell | None:
    rows = PdSpell.objects.filter(patient=row.patient, withdrawn_at=None, started_on__lte=onset_on)
    return rows.order_by("started_on").last()


def _lots(row: Peritonitis) -> str:
    rows = Call.objects.filter(peritonitis=row, withdrawn_at=None).exclude(lots="")
    return ", ".join(rows.order_by("called_at").values_list("lots", flat=True))
