"""Makes one random peritonitis: when it was known, what was drained, what grew."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta, timezone
from functools import cache
from random import Random
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tests.recount.record_files import organism_rows
from tests.recount.seen import local_moment

if TYPE_CHECKING:
    from tests.recount.random_patients import PatientMaker

# Families of names that are, or are not, the same organism: older names, codes, genus, ids.
RELATED = (
    ("Staphylococcus aureus", "1280", "MRSA", "S. aureus", "STAPHYLOCOCCUS  aureus"),
    ("Staphylococcus epidermidis", "CoNS", "Staphylococcus", "1283", "Staphylococcus aureus"),
    ("coagulase-negative staphylococci", "Staphylococcus hominis", "1279", "1282", "CNS"),
    ("Klebsiella pneumoniae", "Klebsiella", "coliforms", "Enterobacterales", "562"),
    ("Klebsiella aerogenes", "Enterobacter aerogenes", "Enterobacter", "91347", "548"),
    ("Candida albicans", "Candida", "yeast", "Candida glabrata", "Fungi"),
    ("Mycobacterium abscessus", "mycobacteria", "36809", "Mycobacterium", "Fungi"),
    ("Blue rod", "blue  ROD", "Green rod", "Escherichia coli", "Stutzerimonas"),
    ("Pseudomonas stutzeri", "Pseudomonas", "Pseudomonas aeruginosa", "316", "287"),
)
OFFSETS_MINUTES = (0, 0, 330, -300, 765)
SIGNS = ("yes", "yes", "yes", "yes", "no", "unknown", "")
ANSWERS = ("", "yes", "no", "unknown")


def days(number: int) -> timedelta:
    return timedelta(days=number)


@cache
def names_by_group() -> tuple[tuple[str, ...], ...]:
    groups: dict[str, list[str]] = {}
    for row in organism_rows():
        groups.setdefault(row["group"], []).append(row["scientific_name"])
    return tuple(map(tuple, groups.values()))


def palette(rng: Random) -> tuple[str, ...]:
    """The few names a patient's episodes draw from, so that they often meet again."""
    if rng.random() < 0.6:
        return rng.choice(RELATED)
    return tuple(rng.choice(rng.choice(names_by_group())) for _ in range(3))


def moment_text(rng: Random, day: date, zone: str) -> str:
    """A moment of that local day: clinic time without offset, or any zone's with its offset.

    Without offset the hour keeps clear of clock changes, where a time may not exist.
    """
    here = ZoneInfo(zone)
    hour = rng.choice((9, 4, 12, 23))
    if rng.random() < 0.5:
        return datetime.combine(day, time(hour, rng.randrange(60))).isoformat("T", "minutes")
    hour = rng.choice((9, 0, 23))
    local = datetime.combine(day, time(hour, rng.randrange(60)), here)
    there = timezone(timedelta(minutes=rng.choice(OFFSETS_MINUTES)))
    return local.astimezone(there).isoformat("T", "minutes").replace("+00:00", "Z")


class EffluentMaker:
    """Writes one episode with its samples and isolates through its patient's maker."""

    def __init__(self, patient: PatientMaker, episode: str, onset: date, end: date) -> None:
        self.patient, self.rng, self.episode = patient, patient.rng, episode
        self.onset, self.end = onset, end
        self.last = patient.last

    def make(self) -> None:
        known_by = self.rng.choice(("onset", "onset", "presented", "sample"))
        antibiotic = self.onset + days(self.rng.choice((0, 0, 1, 4)))
        switched = antibiotic + days(self.rng.choice((0, 2, 6)))
        ended = self.patient.known(self.end) if self.rng.random() < 0.85 else ""
        self.patient.add(
            "peritonitis",
            episode=self.episode,
            onset_on=self.onset.isoformat() if known_by == "onset" else "",
            presented_at=self.presented(known_by),
            cloudy_effluent=self.rng.choice(SIGNS),
            abdominal_pain=self.rng.choice(SIGNS),
            first_antibiotic_at=self.moment(antibiotic, 0.8),
            appropriate_antibiotic_at=self.moment(switched, 0.5),
            therapy_completed_on=ended,
            judged_source=self.rng.choice(("", "touch", "enteric")),
            judged_refractory=self.rng.choice(ANSWERS),
            found_by=self.rng.choice(("clinic", "")),
            resolved=self.rng.choice(("yes", "yes", "no", "unknown", "")),
        )
        self.samples(known_by, antibiotic, switched)

    def presented(self, known_by: str) -> str:
        if known_by == "onset":
            return self.moment(self.onset + days(self.rng.choice((0, 1, 3))), 0.5)
        return self.moment(self.onset, 1) if known_by == "presented" else ""

    def moment(self, day: date, chance: float) -> str:
        if day > self.last or self.rng.random() >= chance:
            return ""
        return moment_text(self.rng, day, self.patient.zone)

    def samples(self, known_by: str, antibiotic: date, switched: date) -> None:
        """The first on the day of onset where the sample tells it; later ones look for clearing."""
        rng, number = self.rng, 0
        lags = [0] if known_by == "sample" else rng.choice(([0], [], [1], [-1], [0, 0]))
        if known_by == "onset":
            lags = [max(lag, 0) for lag in lags]
        taken = [self.onset + days(lag) for lag in lags]
        follow_up = rng.choice(([], [4], [5], [5, 6], [9], [5, 4]))
        taken += [rng.choice((antibiotic, switched)) + days(lag) for lag in follow_up]
        for day in taken:
            if day <= self.last:
                number += 1
                first_tells = known_by == "sample" and number == 1
                self.sample(f"S{number}", self.collected(day, 1 if first_tells else 0.9))

    def collected(self, day: date, chance: float) -> str:
        """No two samples of a patient at one moment: "the first sample" would be unsaid."""
        text = self.moment(day, chance)
        moment = local_moment(text, ZoneInfo(self.patient.zone))
        if moment is not None and moment.timestamp() in self.patient.collected:
            return self.collected(day, chance)
        self.patient.collected.add(moment.timestamp() if moment else 0.0)
        return text

    def sample(self, name: str, collected_at: str) -> None:
        rng = self.rng
        without = ("no_growth", "no_growth", "not_taken", "pending", "")
        culture = rng.choice(("grown",) * 5 + without)
        self.patient.add(
            "effluent_samples",
            episode=self.episode,
            sample=name,
            collected_at=collected_at,
            dwell_hours=rng.choice(("4", "2", "4", "2.0", "1.9", "10", "")),
            leucocytes_per_ul=rng.choice(("2300", "101", "650", "2300", "100", "0", "")),
            neutrophil_percent=rng.choice(("88", "50.5", "75", "100", "50", "0", "")),
            appearance=rng.choice(("cloudy", "clear", "other", "")),
            culture=culture,
            antibiotics_before=rng.choice(ANSWERS),
        )
        if culture == "grown":
            self.isolates(name)

    def isolates(self, sample: str) -> None:
        """None (grown without a name), one, or several, a vaguer beside a more exact one."""
        names = self.rng.sample(self.patient.palette, self.rng.choice((1, 1, 1, 0, 2, 3)))
        told = {" ".join(name.split()).casefold(): name for name in names}
        for name in told.values():
            self.patient.add("isolates", episode=self.episode, sample=sample, organism=name)
            if self.rng.random() < 0.1:
                self.patient.add(
                    "susceptibilities",
                    episode=self.episode,
                    sample=sample,
                    organism=name,
                    agent="cefazolin",
                    result=self.rng.choice(("S", "I", "R")),
                )
