"""How far the work on a signal has come: its state, its steps, its entries."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clinic.models import Clinic, SignalEntry, SignalWork
from clinic.models.signal_work import CONCLUSIONS, STEPS

NEW, SEEN, LOOKED_INTO, CLOSED = "new", "seen", "looked_into", "closed"
STATES = {
    NEW: "nobody has looked yet",
    SEEN: "seen",
    LOOKED_INTO: "being looked into",
    CLOSED: "closed",
}


@dataclass(frozen=True)
class Step:
    """One step of the checklist as its latest entry leaves it."""

    key: str
    name: str
    entry: SignalEntry | None

    @property
    def is_done(self) -> bool:
        return self.entry is not None and self.entry.done_on is not None


@dataclass(frozen=True)
class Worked:
    """A signal that was taken up, with its entries in time order."""

    work: SignalWork
    entries: tuple[SignalEntry, ...]

    @property
    def closing(self) -> SignalEntry | None:
        return next((one for one in self.entries if one.verb == "close"), None)

    @property
    def state(self) -> str:
        if self.closing:
            return CLOSED
        return LOOKED_INTO if any(one.verb != "seen" for one in self.entries) else SEEN

    @property
    def state_text(self) -> str:
        return f"closed: {self.conclusion_text.lower()}" if self.closing else STATES[self.state]

    @property
    def conclusion_text(self) -> str:
        return CONCLUSIONS[self.closing.conclusion] if self.closing else ""

    @property
    def closed_on(self) -> date | None:
        zone = self.work.clinic.zone
        return self.closing.at.astimezone(zone).date() if self.closing else None

    @property
    def steps(self) -> list[Step]:
        latest = {one.step: one for one in self.entries if one.verb == "step"}
        return [Step(key, name, latest.get(key)) for key, name in STEPS.items()]


def works_of(clinic: Clinic) -> list[Worked]:
    """Every signal of the clinic that was ever taken up, the earliest first."""
    rows = SignalWork.objects.filter(clinic=clinic).select_related("clinic", "by")
    found = rows.prefetch_related("entries__owner", "entries__by")
    return [Worked(row, tuple(row.entries.all())) for row in found]
