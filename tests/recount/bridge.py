"""Record-file rows to the plain tables of `surveillance.tables`, without any database."""

from collections.abc import Callable, Sequence
from datetime import UTC, date
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd

from surveillance.tables import Record
from tests.recount.seen import Row, Rows, local_moment

NO_DAY = -(2**31)
NO_MOMENT = -(2**63)
EPOCH = date(1970, 1, 1)
Key = tuple[str, ...]

# Each column of each table, in the encoding of the tables' declaration.
DAYS, CHOICES, FLAGS, TEXTS, NUMBERS = "days", "choices", "flags", "texts", "numbers"
ENCODED: dict[str, dict[str, str]] = {
    "pd_spells": {DAYS: "started_on last_day_on", CHOICES: "modality assistance end_reason"},
    "pd_pauses": {DAYS: "started_on last_day_on", CHOICES: "reason"},
    "catheters": {
        TEXTS: "catheter",
        DAYS: "inserted_on removed_on",
        CHOICES: "insertion_method removal_reason",
    },
    "trainings": {DAYS: "started_on completed_on", CHOICES: "kind trainer"},
    "peritonitis": {
        TEXTS: "episode",
        DAYS: "onset_on therapy_completed_on",
        FLAGS: "cloudy_effluent abdominal_pain judged_refractory resolved",
    },
    "effluent_samples": {
        TEXTS: "sample",
        NUMBERS: "dwell_hours leucocytes_per_ul neutrophil_percent",
        CHOICES: "appearance culture",
        FLAGS: "antibiotics_before",
    },
    "isolates": {CHOICES: "organism"},
    "catheter_infections": {
        TEXTS: "infection",
        DAYS: "onset_on therapy_completed_on",
        CHOICES: "site organism",
        FLAGS: "purulent_discharge tunnel_inflammation tunnel_collection refractory",
    },
    "admissions": {DAYS: "admitted_on discharged_on"},
    "contaminations": {CHOICES: "kind", FLAGS: "prophylaxis"},
}


def day_number(text: str) -> int:
    return (date.fromisoformat(text) - EPOCH).days if text else NO_DAY


def flag(text: str) -> int:
    return {"yes": 1, "no": 0}.get(text, -1)


def days(texts: Sequence[str]) -> np.ndarray:
    return np.array([day_number(text) for text in texts], dtype=np.int32)


def choices(texts: Sequence[str]) -> pd.Categorical:
    return pd.Categorical([text or None for text in texts], categories=sorted({*texts} - {""}))


ENCODERS: dict[str, Callable[[Sequence[str]], object]] = {
    DAYS: days,
    CHOICES: choices,
    FLAGS: lambda texts: np.array([flag(text) for text in texts], dtype=np.int8),
    TEXTS: lambda texts: np.array(texts, dtype=object),
    NUMBERS: lambda texts: np.array([float(text or "nan") for text in texts], dtype=np.float64),
}


def key_of(row: Row, *names: str) -> Key:
    return tuple(row[name] for name in names)


def positions(found: Sequence[Row], *names: str) -> dict[Key, int]:
    return {key_of(row, *names): place for place, row in enumerate(found)}


def links(keys: Sequence[Key], parents: dict[Key, int]) -> np.ndarray:
    return np.array([parents.get(key, -1) for key in keys], dtype=np.int32)


def encoded(file: str, found: Sequence[Row]) -> dict[str, object]:
    return {
        name: ENCODERS[encoding]([row[name] for row in found])
        for encoding, names in ENCODED[file].items()
        for name in names.split()
    }


def record_tables(rows: Rows) -> Record:
    """The tables the method takes, links being positions of rows in their parents' tables."""
    clinics = sorted(rows["clinics"], key=lambda row: row["clinic"])
    zones = {row["clinic"]: ZoneInfo(row["time_zone"]) for row in clinics}
    patients = sorted(rows["patients"], key=lambda row: (row["clinic"], row["patient"]))
    at = {
        "clinic": positions(clinics, "clinic"),
        "patient": positions(patients, "clinic", "patient"),
        "episode": positions(rows["peritonitis"], "clinic", "patient", "episode"),
        "sample": positions(rows["effluent_samples"], "clinic", "patient", "episode", "sample"),
    }
    frames: dict[str, dict[str, object]] = {
        "clinics": {"clinic": np.array([row["clinic"] for row in clinics], dtype=object)},
        "patients": {
            "clinic": links([(row["clinic"],) for row in patients], at["clinic"]),
            "patient": np.array([row["patient"] for row in patients], dtype=object),
            "died_on": days([row["died_on"] for row in patients]),
        },
    }
    for file in ENCODED:
        frames[file] = linked(file, rows[file], at) | encoded(file, rows[file])
    frames["peritonitis"] |= local_days_of(rows["peritonitis"], zones)
    frames["peritonitis"] |= moments_of(rows["peritonitis"], zones)
    frames["effluent_samples"] |= collection_of(rows["effluent_samples"], zones)
    frames["contaminations"]["happened_on"] = np.array(
        [local_day(row["happened_at"], zones[row["clinic"]]) for row in rows["contaminations"]],
        dtype=np.int32,
    )
    return Record(**{name: pd.DataFrame(columns) for name, columns in frames.items()})


def linked(file: str, found: Sequence[Row], at: dict[str, dict[Key, int]]) -> dict[str, object]:
    patient, episode = ("clinic", "patient"), ("clinic", "patient", "episode")
    if file == "isolates":
        keys = [key_of(row, *episode, "sample") for row in found]
        return {"sample": links(keys, at["sample"])}
    if file == "effluent_samples":
        return {"episode": links([key_of(row, *episode) for row in found], at["episode"])}
    columns: dict[str, object] = {
        "patient": links([key_of(row, *patient) for row in found], at["patient"])
    }
    if file == "admissions":
        columns["episode"] = links([key_of(row, *episode) for row in found], at["episode"])
    return columns


def local_day(text: str, zone: ZoneInfo) -> int:
    moment = local_moment(text, zone)
    return (moment.date() - EPOCH).days if moment else NO_DAY


def local_days_of(found: Sequence[Row], zones: dict[str, ZoneInfo]) -> dict[str, object]:
    names = ("presented", "first_antibiotic", "appropriate_antibiotic")
    return {
        f"{name}_on": np.array(
            [local_day(row[f"{name}_at"], zones[row["clinic"]]) for row in found], dtype=np.int32
        )
        for name in names
    }


def moment_number(text: str, zone: ZoneInfo) -> int:
    moment = local_moment(text, zone)
    return int(moment.astimezone(UTC).timestamp()) if moment else NO_MOMENT


def moments_of(found: Sequence[Row], zones: dict[str, ZoneInfo]) -> dict[str, object]:
    """A record file does not say when a row was entered."""
    moments = {
        name: np.array(
            [moment_number(row[name], zones[row["clinic"]]) for row in found], dtype=np.int64
        )
        for name in ("presented_at", "first_antibiotic_at")
    }
    return {**moments, "recorded_on": np.full(len(found), NO_DAY, dtype=np.int32)}


def collection_of(found: Sequence[Row], zones: dict[str, ZoneInfo]) -> dict[str, object]:
    moments = [local_moment(row["collected_at"], zones[row["clinic"]]) for row in found]
    seconds = [int(one.astimezone(UTC).timestamp()) if one else NO_MOMENT for one in moments]
    local = [(one.date() - EPOCH).days if one else NO_DAY for one in moments]
    return {
        "collected_at": np.array(seconds, dtype=np.int64),
        "collected_on": np.array(local, dtype=np.int32),
    }
