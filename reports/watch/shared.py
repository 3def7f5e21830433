"""What the cases of one signal have in common, counted feature by feature; a start, no proof."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clinic.case_context import Around
from reports.rate_report.names import band_text
from surveillance.words import day_text

Row = dict[str, object]


@dataclass(frozen=True)
class Feature:
    """One feature: what it is called, which values how many cases have, of how many it is known."""

    name: str
    values: tuple[tuple[str, int], ...]  # most cases first
    known: int
    cases: int
    compare: str = ""  # how common the first value is among everybody

    @property
    def is_shared(self) -> bool:
        """Every case of which it is known has it, and it is known of two or more."""
        return self.known >= 2 and bool(self.values) and self.values[0][1] == self.known

    @property
    def said(self) -> str:
        return "; ".join(f"{value}: {count}" for value, count in self.values) or "not known"


# How large a part of the clinic's days at risk a band is: split, band -> share, None if unknown.
ShareOf = Callable[[str, str], float | None]


def shared(held: Sequence[Around], share_of: ShareOf = lambda split, band: None) -> list[Feature]:
    """Features in the order in which an outbreak is thought through."""
    return [
        _feature("Organism", [one.organisms for one in held]),
        _feature("Susceptibility pattern", [_one(one.pattern) for one in held]),
        _feature("Place of exchanges away from home", [_one(one.place) for one in held]),
        _feature("Batch of bag and cap", [_one(one.lots) for one in held]),
        _compared("Trainer of the latest training", "trainer", held, share_of),
        _compared("Modality", "modality", held, share_of),
        _compared("Assistance", "assistance", held, share_of),
    ]


def _one(value: str) -> frozenset[str]:
    return frozenset({value} if value else ())


def _feature(name: str, values: Iterable[frozenset[str]]) -> Feature:
    sets = list(values)
    counts = Counter(value for one in sets for value in one)
    ordered = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
    return Feature(name, tuple(ordered), sum(bool(one) for one in sets), len(sets))


def _compared(name: str, split: str, held: Sequence[Around], share_of: ShareOf) -> Feature:
    found = _feature(name, [_one(getattr(one, split)) for one in held])
    values = tuple((band_text(split, value), count) for value, count in found.values)
    share = share_of(split, found.values[0][0]) if found.values else None
    said = (
        "" if share is None else f"{values[0][0]}: {share * 100:.0f} % of the year’s days at risk"
    )
    return Feature(name, values, found.known, found.cases, said)


def agents(held: Sequence[Around]) -> list[tuple[str, tuple[str, ...]]]:
    """Each agent with what every case showed; a case that was not tested has an empty cell."""
    names = sorted({agent for one in held for agent in one.tested})
    return [(name, tuple(one.tested.get(name, "") for one in held)) for name in names]


def dates_text(onsets: Sequence[date]) -> str:
    """First and last onset, and the days between them."""
    if not onsets:
        return "No case."
    first, last = min(onsets), max(onsets)
    if first == last:
        return f"Onset on {day_text(first)}."
    return f"Onsets from {day_text(first)} to {day_text(last)}, {(last - first).days} days."


def share_among(rows: Iterable[Mapping[str, object]]) -> ShareOf:
    """From the stored figures of a year: the days of a band over the days of its split."""
    days: dict[tuple[str, str], float] = {}
    for row in rows:
        split, band, over = row["split"], row["band"], row["denominator"]
        if isinstance(over, int | float):
            days[str(split or ""), str(band or "")] = over

    def share_of(split: str, band: str) -> float | None:
        total = days.get(("", ""))
        part = days.get((split, band))
        return part / total if total and part is not None else None

    return share_of
