"""Reads record-file rows into plain facts, as they can be seen on one day (design 2)."""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from tests.recount.organisms import Catalogue, Organism

Row = dict[str, str]
Rows = dict[str, list[Row]]


@dataclass
class Spell:
    started_on: date
    last_day_on: date | None
    modality: str
    assistance: str
    end_reason: str


@dataclass
class Pause:
    started_on: date
    last_day_on: date | None
    reason: str


@dataclass
class Catheter:
    name: str
    inserted_on: date
    insertion_method: str
    removed_on: date | None
    removal_reason: str


@dataclass
class Training:
    started_on: date | None
    completed_on: date | None
    kind: str
    trainer: str


@dataclass
class Sample:
    name: str
    collected_at: datetime | None
    collected_on: date | None
    dwell_hours: float | None
    leucocytes_per_ul: float | None
    neutrophil_percent: float | None
    appearance: str
    culture: str
    organisms: list[Organism] = field(default_factory=list)


@dataclass
class Episode:
    name: str
    onset_on: date
    cloudy_effluent: str
    abdominal_pain: str
    first_antibiotic_on: date | None
    appropriate_antibiotic_on: date | None
    therapy_completed_on: date | None
    judged_refractory: str
    resolved: str
    samples: list[Sample]


@dataclass
class Infection:
    name: str
    site: str
    onset_on: date
    purulent_discharge: str
    tunnel_inflammation: str
    tunnel_collection: str
    therapy_completed_on: date | None
    sample: Sample


@dataclass
class Admission:
    admitted_on: date
    discharged_on: date | None
    episode: str


@dataclass
class Patient:
    clinic: str
    name: str
    died_on: date | None = None
    spells: list[Spell] = field(default_factory=list)
    pauses: list[Pause] = field(default_factory=list)
    catheters: list[Catheter] = field(default_factory=list)
    trainings: list[Training] = field(default_factory=list)
    episodes: list[Episode] = field(default_factory=list)
    infections: list[Infection] = field(default_factory=list)
    admissions: list[Admission] = field(default_factory=list)


def number(text: str) -> float | None:
    return float(text) if text else None


def day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def local_moment(text: str, zone: ZoneInfo) -> datetime | None:
    """ "In a file: without offset = clinic time, else converted first"."""
    if not text:
        return None
    moment = datetime.fromisoformat(text)
    return moment.replace(tzinfo=zone) if moment.tzinfo is None else moment.astimezone(zone)


class Seen:
    """The rows of one patient, with what lies after `as_of` left out.

    "What begins after as_of (a sample, a removal, a death too) is unseen, a later end is read
    as empty."
    """

    def __init__(self, rows: Rows, clinic: str, patient: str, zone: ZoneInfo, as_of: date) -> None:
        self.rows, self.key, self.zone, self.as_of = rows, (clinic, patient), zone, as_of

    def of(self, file: str) -> list[Row]:
        return [
            row for row in self.rows.get(file, []) if self.key == (row["clinic"], row["patient"])
        ]

    def begins(self, text: str) -> bool:
        return bool(text) and date.fromisoformat(text) <= self.as_of

    def end(self, text: str) -> date | None:
        """A day after as_of is read as empty."""
        return day(text) if self.begins(text) else None

    def end_of_moment(self, text: str) -> date | None:
        moment = local_moment(text, self.zone)
        return self.end(moment.date().isoformat()) if moment else None


def patients_seen(rows: Rows, clinic: Row, as_of: date, catalogue: Catalogue) -> list[Patient]:
    zone = ZoneInfo(clinic["time_zone"])
    names = sorted(r["patient"] for r in rows["patients"] if r["clinic"] == clinic["clinic"])
    return [
        patient_seen(Seen(rows, clinic["clinic"], name, zone, as_of), catalogue) for name in names
    ]


def patient_seen(seen: Seen, catalogue: Catalogue) -> Patient:
    patient = Patient(*seen.key, died_on=seen.end(seen.of("patients")[0].get("died_on", "")))
    patient.spells = [
        Spell(
            day(r["started_on"]),
            seen.end(r["last_day_on"]),
            r["modality"],
            r["assistance"],
            r["end_reason"],
        )
        for r in seen.of("pd_spells")
        if seen.begins(r["started_on"])
    ]
    patient.pauses = [
        Pause(day(r["started_on"]), seen.end(r["last_day_on"]), r["reason"])
        for r in seen.of("pd_pauses")
        if seen.begins(r["started_on"])
    ]
    patient.catheters = [
        Catheter(
            r["catheter"],
            day(r["inserted_on"]),
            r["insertion_method"],
            seen.end(r["removed_on"]),
            r["removal_reason"],
        )
        for r in seen.of("catheters")
        if seen.begins(r["inserted_on"])
    ]
    # A training begins with its first day; its completion, a later end, starts the clock.
    patient.trainings = [
        Training(day(r["started_on"]), seen.end(r["completed_on"]), r["kind"], r["trainer"])
        for r in seen.of("trainings")
        if seen.begins(r["started_on"] or r["completed_on"])
    ]
    patient.admissions = [
        Admission(day(r["admitted_on"]), seen.end(r["discharged_on"]), r["episode"])
        for r in seen.of("admissions")
        if seen.begins(r["admitted_on"])
    ]
    patient.episodes = episodes_seen(seen, catalogue)
    patient.infections = [
        infection_seen(seen, r, catalogue)
        for r in seen.of("catheter_infections")
        if seen.begins(r["onset_on"])
    ]
    return patient


def episodes_seen(seen: Seen, catalogue: Catalogue) -> list[Episode]:
    """An episode begins with its onset, which the whole record decides, whatever as_of is."""
    episodes = []
    for row in seen.of("peritonitis"):
        samples = [
            sample_facts(seen, sample, catalogue)
            for sample in seen.of("effluent_samples")
            if sample["episode"] == row["episode"]
        ]
        onset = onset_day(row, samples, seen.zone)
        if onset is None or onset > seen.as_of:
            continue
        episodes.append(
            Episode(
                row["episode"],
                onset,
                row["cloudy_effluent"],
                row["abdominal_pain"],
                seen.end_of_moment(row["first_antibiotic_at"]),
                seen.end_of_moment(row["appropriate_antibiotic_at"]),
                seen.end(row["therapy_completed_on"]),
                row["judged_refractory"],
                row["resolved"],
                [s for s in samples if s.collected_on is None or s.collected_on <= seen.as_of],
            )
        )
    return episodes


def onset_day(row: Row, samples: list[Sample], zone: ZoneInfo) -> date | None:
    """ "Onset = onset_on, else the local day of presented_at, else of the earliest sample"."""
    if row["onset_on"]:
        return day(row["onset_on"])
    if row["presented_at"]:
        return local_moment(row["presented_at"], zone).date()
    dated = [s for s in samples if s.collected_at]
    return min(dated, key=lambda s: s.collected_at).collected_on if dated else None


def sample_facts(seen: Seen, row: Row, catalogue: Catalogue) -> Sample:
    moment = local_moment(row["collected_at"], seen.zone)
    names = [
        isolate["organism"]
        for isolate in seen.of("isolates")
        if (isolate["episode"], isolate["sample"]) == (row["episode"], row["sample"])
    ]
    return Sample(
        row["sample"],
        # Moments of one zone compare by the clock on the wall, so they are ordered in UTC.
        moment.astimezone(UTC) if moment else None,
        moment.date() if moment else None,
        number(row["dwell_hours"]),
        number(row["leucocytes_per_ul"]),
        number(row["neutrophil_percent"]),
        row["appearance"],
        row["culture"],
        [catalogue.find(name) for name in names],
    )


def infection_seen(seen: Seen, row: Row, catalogue: Catalogue) -> Infection:
    """ "organism (name, id, or no_growth; empty = not cultured)": read as one swab."""
    text = row["organism"]
    culture = "" if not text else "no_growth" if text == "no_growth" else "grown"
    found = [catalogue.find(text)] if culture == "grown" else []
    swab = Sample("", None, None, None, None, None, "", culture, found)
    return Infection(
        row["infection"],
        row["site"],
        day(row["onset_on"]),
        row["purulent_discharge"],
        row["tunnel_inflammation"],
        row["tunnel_collection"],
        seen.end(row["therapy_completed_on"]),
        swab,
    )
