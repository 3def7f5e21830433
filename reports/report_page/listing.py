"""The ended quarters of a clinic with their versions, as one person may see them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

from clinic.clock import today
from clinic.models import Clinic, Person
from clinic.roles import can, snapshots_where
from reports.rate_report.period_text import is_quarter, quarter_shifted
from reports.state_text import moment_text, state_words
from surveillance.models import Snapshot
from surveillance.periods import quarter_holding
from surveillance.snapshots import is_restatement_due, newest_draft, periods

LIST = "quarter.list_versions"


@dataclass(frozen=True)
class Version:
    """One frozen version of a quarter, in words."""

    snapshot: Snapshot
    state: str
    history: list[str]


@dataclass(frozen=True)
class Quarter:
    """One ended quarter; without versions it is a draft at most."""

    quarter: str
    versions: list[Version]
    is_due: bool = False  # the record gives other figures than the signed version

    @property
    def is_waiting(self) -> bool:
        return any(one.snapshot.state == "prepared" for one in self.versions)

    @property
    def is_signed(self) -> bool:
        return any(one.snapshot.state == "signed" for one in self.versions)


def history(snapshot: Snapshot, with_names: bool) -> list[str]:
    """Who did what when; an outside reader sees the roles alone."""
    said = []
    for verb, person, moment, role in (
        ("Prepared", snapshot.prepared_by, snapshot.prepared_at, "clinic"),
        ("Returned", snapshot.returned_by, snapshot.returned_at, "director"),
        ("Signed", snapshot.signed_by, snapshot.signed_at, "director"),
    ):
        if moment is not None:
            who = person.name if with_names and person else f"the {role}"
            said.append(f"{verb} by {who}, {moment_text(moment, snapshot.clinic)}")
    if snapshot.returned_reason and with_names:
        said.append(f"Reason: {snapshot.returned_reason}")
    return said


def version(snapshot: Snapshot, with_names: bool) -> Version:
    return Version(snapshot, state_words(snapshot), history(snapshot, with_names))


def last_ended_quarter(clinic: Clinic) -> str:
    """The last quarter that has ended in the clinic's own day; its last day has to be over."""
    return quarter_shifted(quarter_holding(today(clinic)).text, -1)


def _ended(clinic: Clinic) -> set[str]:
    draft = newest_draft(clinic)
    stored = {one for one in periods(draft) if is_quarter(one)} if draft else set()
    return stored | ({last_ended_quarter(clinic)} if stored else set())


def quarters(person: Person, clinic: Clinic) -> list[Quarter]:
    """Newest first; whoever may see drafts sees every ended quarter, others the signed ones."""
    frozen = Snapshot.objects.filter(clinic=clinic).exclude(state="draft")
    frozen = frozen.select_related("clinic", "prepared_by", "returned_by", "signed_by")
    by_quarter: dict[str, list[Version]] = defaultdict(list)
    inside = can(person, "rate_report.draft", clinic)
    for snapshot in snapshots_where(person, LIST, frozen).order_by("-id"):
        by_quarter[snapshot.through].append(version(snapshot, with_names=inside))
    named = set(by_quarter) | (_ended(clinic) if inside else set())
    newest = newest_draft(clinic) if inside else None
    found = [Quarter(one, by_quarter.get(one, [])) for one in sorted(named, reverse=True)]
    return [replace(one, is_due=_is_due(one, newest)) for one in found]


def _is_due(quarter: Quarter, newest: Snapshot | None) -> bool:
    """A restatement waits: said until somebody prepares it."""
    signed = [one.snapshot for one in quarter.versions if one.snapshot.state == "signed"]
    return not quarter.is_waiting and any(is_restatement_due(one, newest) for one in signed)
