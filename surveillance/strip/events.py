"""What stands on a patient's strip: spans of time and single days, each with its words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from surveillance.marks import contamination_mark, episode_mark, training_mark
from surveillance.words import CONFIRMED, day_text, is_counted, reason_text, sequence_text

LANES = (
    "pd", "catheter", "training", "peritonitis", "catheter_infection", "contamination",
    "admission",
)  # fmt: skip


@dataclass(frozen=True)
class Word:
    """One line of the text twin."""

    on: date
    mark: str
    title: str
    species: str = ""
    text: str = ""

    @property
    def day(self) -> str:
        return day_text(self.on)


@dataclass(frozen=True)
class Event:
    """Something on one day."""

    lane: str
    on: date
    mark: str
    word: Word
    short: str = ""  # beside the mark
    over: str = ""  # above the mark


@dataclass(frozen=True)
class Span:
    """Something from a first day to a last, still going on if there is none."""

    lane: str
    first: date
    last: date | None
    mark: str
    words: tuple[Word, ...]
    short: str = ""


_MODALITIES = {"capd": "CAPD", "apd": "APD", "": "PD"}
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")
_METHODS = {"open": "open surgery", "laparoscopic": "laparoscopic", "percutaneous": "percutaneous"}
_PAUSES = {
    "temporary_haemodialysis": "temporary haemodialysis",
    "catheter_rest": "rest without a catheter",
    "travel": "travel",
    "other": "another reason",
}
STOPPING = ("temporary_haemodialysis", "catheter_rest")
_TRAININGS = {
    "initial": "Initial training",
    "scheduled": "Scheduled reassessment",
    "triggered": "Retraining after an infection",
}


_CULTURES = {
    "culture_negative": "culture-negative",
    "culture_pending": "culture not back yet",
    "not_cultured": "not cultured",
}


def _sentence(culture: str, why: str) -> str:
    """What the culture said, if anything, and why it counts or not."""
    said = f"{culture}; {why}" if culture else why
    return said[0].upper() + said[1:]


def _plain(code: str) -> str:
    return code.replace("_", " ")


def pd_spell(first: date, last: date | None, modality: str = "", end_reason: str = "") -> Span:
    name = _MODALITIES.get(modality, modality.upper())
    said = [Word(first, "pd", f"{name} begins.")]
    if last is not None:
        why = f": {_plain(end_reason)}." if end_reason else "."
        said.append(Word(last, "pd", f"{name} ends{why}"))
    return Span("pd", first, last, "pd", tuple(said), name)


def pd_pause(first: date, last: date | None, reason: str = "") -> Span:
    """Only stopping pauses are drawn hatched; the others leave a patient at risk."""
    until = f"until {day_text(last)}" if last else "still going on"
    why = _PAUSES.get(reason, "reason not known")
    stops = reason in STOPPING
    risk = "not at risk" if stops else "days go on counting as at risk"
    word = Word(first, "pause", f"PD paused, {until}.", text=f"{why.capitalize()}; {risk}.")
    return Span("pause" if stops else "absence", first, last, "pause", (word,))


def catheter(
    first: date, removed: date | None, number: int, method: str = "", removal_reason: str = ""
) -> Span:
    name = _ORDINALS[number - 1] if number <= len(_ORDINALS) else f"{number}th"
    how = _METHODS.get(method, "")
    short = f"{name}, {how}" if how else name
    inserted = f"Inserted: {how}." if how else "How it was inserted is not known."
    said = [Word(first, "catheter", f"{name.capitalize()} catheter.", text=inserted)]
    if removed is not None:
        why = f"Because of: {_plain(removal_reason)}." if removal_reason else "Reason not known."
        said.append(Word(removed, "removed", "Catheter removed.", text=why))
    return Span("catheter", first, removed, "catheter", tuple(said), short)


def training(on: date, kind: str, competent: str = "") -> Event:
    """`competent`: yes, no, unknown or not asked; the pin is open only at a plain no."""
    mark = training_mark(kind, competent != "no")
    told = {"yes": "competent.", "no": "not yet competent."}.get(competent, "outcome not known.")
    name = _TRAININGS.get(kind, "Training")
    return Event("training", on, mark, Word(on, mark, f"{name},", text=told))


def short_name(organism: str) -> str:
    """Escherichia coli as E. coli; a name of one word, or a group's, as it is."""
    genus, _, rest = organism.partition(" ")
    is_species = genus.istitle() and genus.isalpha() and rest.isalpha() and rest.islower()
    return f"{genus[0]}. {rest}" if is_species else organism


def peritonitis(
    on: date,
    confirmed: str,
    sequence: str,
    reason: str,
    organisms: Sequence[str] = (),
    index_onset: date | None = None,
    culture_group: str = "",
) -> Event:
    """Codes as in the case table (design 3.1)."""
    mark = episode_mark("peritonitis", confirmed, sequence, is_counted(reason))
    short = sequence_text(sequence) if confirmed == "confirmed" else CONFIRMED[confirmed]
    why = f"{reason_text(reason, index_onset=index_onset)}."
    names = ", ".join(organisms)
    over = short_name(names) if len(organisms) < 2 else f"{len(organisms)} organisms"
    title = f"Peritonitis, {short}."
    told = why if names else _sentence(_CULTURES.get(culture_group, ""), why)
    said = Word(on, mark, title, names, told)
    return Event("peritonitis", on, mark, said, short, over)


def catheter_infection(
    on: date,
    kind: str,
    confirmed: str,
    reason: str,
    organism: str = "",
    index_onset: date | None = None,
) -> Event:
    """`kind`: exit_site or tunnel, a case row each."""
    mark = episode_mark(kind, confirmed, "", is_counted(reason))
    name = "Exit-site infection." if kind == "exit_site" else "Tunnel infection."
    title = name if confirmed == "confirmed" else f"{name[:-1]}, {CONFIRMED[confirmed]}."
    why = f"{reason_text(reason, kind, index_onset)}."
    culture = {"no_growth": "no growth", "": "not cultured"}.get(organism, "")
    species, told = ("", _sentence(culture, why)) if culture else (organism, why)
    said = Word(on, mark, title, species, told)
    return Event("catheter_infection", on, mark, said, _plain(kind))


def contamination(on: date, kind: str, prophylaxis: str = "") -> Event:
    mark = contamination_mark(kind, prophylaxis == "yes")
    told = {"yes": "Prophylaxis given.", "no": "No prophylaxis."}.get(
        prophylaxis, "Whether prophylaxis was given is not known."
    )
    said = Word(on, mark, f"{kind.capitalize()} contamination.", text=told)
    return Event("contamination", on, mark, said, kind)


def admission(first: date, last: date | None) -> Span:
    nights = f"{(last - first).days}" if last else ""
    told = _nights(first, last)
    return Span(
        "admission", first, last, "admission",
        (Word(first, "admission", "Admission.", text=told),), nights,
    )  # fmt: skip


def _nights(first: date, last: date | None) -> str:
    if last is None:
        return "Not discharged yet."
    nights = (last - first).days
    return "1 night." if nights == 1 else f"{nights} nights."
