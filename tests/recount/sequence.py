"""Which episode follows which: new, relapsing, recurrent, repeat, same (design 3.1)."""

from dataclasses import dataclass, field
from datetime import date

from tests.recount.criteria import culture_group
from tests.recount.organisms import Organism, exact_names, share_any
from tests.recount.seen import Sample

RELAPSE_WINDOW_DAYS = 28


@dataclass
class Case:
    """One row of the case table in the making; `own` is the row's own record."""

    clinic: str
    patient: str
    episode: str
    kind: str
    onset_on: date
    therapy_end: date | None
    samples: list[Sample]
    own: object
    criteria: tuple[str, str, str] = ("", "", "")
    confirmed: str = ""
    sequence: str = ""
    index_episode: str = ""
    gap_days: int | None = None
    joined: list["Case"] = field(default_factory=list)
    off_risk: str = ""
    counts: bool = False
    reason: str = ""
    outcomes: dict[str, str] = field(default_factory=dict)
    catheter_related: str = ""

    @property
    def all_samples(self) -> list[Sample]:
        """ "A same_episode row lends the first its samples, organisms"."""
        return self.samples + [sample for row in self.joined for sample in row.samples]

    @property
    def last_therapy_end(self) -> date | None:
        """ "the latest known therapy end holds"."""
        ends = [row.therapy_end for row in [self, *self.joined] if row.therapy_end]
        return max(ends, default=None)

    @property
    def culture_group(self) -> str:
        return culture_group(self.all_samples)

    @property
    def organisms(self) -> set[Organism]:
        return exact_names({one for sample in self.all_samples for one in sample.organisms})

    @property
    def names(self) -> set[str]:
        return {self.episode, *(row.episode for row in self.joined)}


def order(case: Case) -> tuple[date, str]:
    """ "the patient's confirmed rows of that kind by onset, then episode text"."""
    return case.onset_on, case.episode


def classify(rows: list[Case]) -> list[Case]:
    """Sets sequence, index and gap of one patient's confirmed rows of one kind.

    Returns the rows that are not `same_episode`, in order.
    """
    firsts: list[Case] = []
    for row in sorted(rows, key=order):  # "dates alone decide who joins"
        if firsts and joins(row, firsts[-1]):
            join(row, firsts[-1])
        else:
            firsts.append(row)
    for position, row in enumerate(firsts):
        compare(row, firsts[:position])
    return firsts


def joins(row: Case, before: Case) -> bool:
    """ "same onset day -> same_episode; therapy end missing -> undetermined; gap <= 0 ->
    same_episode"."""
    if row.onset_on == before.onset_on:
        return True
    return before.last_therapy_end is not None and row.onset_on <= before.last_therapy_end


def join(row: Case, before: Case) -> None:
    row.sequence = "same_episode"
    row.index_episode = before.episode
    row.gap_days = gap(row, before)
    before.joined.append(row)


def gap(row: Case, before: Case) -> int | None:
    """ "Gap = onset - therapy end of the one before"."""
    end = before.last_therapy_end
    return None if end is None else (row.onset_on - end).days


def compare(row: Case, earlier: list[Case]) -> None:
    if not earlier:
        row.sequence = "new"  # "none before"
        return
    before = earlier[-1]
    days = gap(row, before)
    if days is not None and days > RELAPSE_WINDOW_DAYS:
        repeat_or_new(row, earlier)
        return
    row.index_episode, row.gap_days = before.episode, days
    row.sequence = "undetermined" if days is None else close_class(row, before)


def close_class(row: Case, before: Case) -> str:
    """ "gap 1-28: either one not cultured, pending, or grown without a name -> undetermined;
    either sterile, or any organism shared -> relapsing; else recurrent"."""
    if any(without_result(one) for one in (row, before)):
        return "undetermined"
    sterile = "culture_negative" in (row.culture_group, before.culture_group)
    return "relapsing" if sterile or share_any(row.organisms, before.organisms) else "recurrent"


def without_result(case: Case) -> bool:
    if case.culture_group in ("not_cultured", "culture_pending"):
        return True
    return case.culture_group == "positive" and not case.organisms


def repeat_or_new(row: Case, earlier: list[Case]) -> None:
    """ "shares an organism with any earlier episode whose known therapy end is more than 28 days
    before -> repeat (index: the latest such); else new"; "index and gap empty for new"."""
    row.sequence = "new"
    for one in reversed(earlier):
        days = gap(row, one)
        long_ago = days is not None and days > RELAPSE_WINDOW_DAYS
        if long_ago and share_any(row.organisms, one.organisms):
            row.sequence, row.index_episode, row.gap_days = "repeat", one.episode, days
            return
