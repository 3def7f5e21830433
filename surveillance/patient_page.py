"""What the Patient page shows: the finding, the strip's events, the head of the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from clinic.local_names import named
from clinic.patient_file import episodes_of, organisms_of, standing
from surveillance.episode_beside import closing
from surveillance.episode_words import title
from surveillance.extract import Patient
from surveillance.live import Live
from surveillance.strip import Event, Span
from surveillance.strip import events as on_strip
from surveillance.words import day_text

_NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")
_MODALITIES = {"capd": "CAPD", "apd": "APD", "": "PD"}
_HELPERS = {"self": "no helper", "family": "a relative helps", "nurse": "a nurse helps"}


def spans(patient: Patient) -> Iterator[Span]:
    """Everything with a first and a last day."""
    for row in standing("pd_spells", patient):
        yield on_strip.pd_spell(row.started_on, row.last_day_on, row.modality, row.end_reason)
    for row in standing("pd_pauses", patient):
        yield on_strip.pd_pause(row.started_on, row.last_day_on, row.reason)
    for number, row in enumerate(standing("catheters", patient), start=1):
        yield on_strip.catheter(
            row.inserted_on, row.removed_on, number, row.insertion_method, row.removal_reason
        )
    for row in standing("admissions", patient):
        yield on_strip.admission(row.admitted_on, row.discharged_on)


def events(patient: Patient, now: Live, zone: ZoneInfo) -> Iterator[Event]:
    """Everything on one day; episodes stand on the day, and with the verdict, of their case."""
    for row in standing("trainings", patient):
        yield on_strip.training(row.completed_on, row.kind, row.competent)
    for row in standing("contaminations", patient):
        day = row.happened_at.astimezone(zone).date()
        yield on_strip.contamination(day, row.kind, row.prophylaxis)
    found = {row.episode: organisms_of(row) for row in episodes_of(patient)}
    cultured = {
        row.infection: row.organism
        if row.organism in ("", "no_growth")
        else named(patient.clinic, row.organism)
        for row in standing("catheter_infections", patient)
    }
    for case in now.cases:
        if case["kind"] == "peritonitis":
            yield _peritonitis(case, found.get(case["episode"], []), now)
        else:
            yield _catheter_infection(case, cultured.get(case["episode"], ""), now)


def _peritonitis(case: dict[str, Any], organisms: list[str], now: Live) -> Event:
    return on_strip.peritonitis(
        case["onset_on"], case["confirmed"], case["sequence"], case["reason"],
        organisms, index_onset(case, now),
    )  # fmt: skip


def _catheter_infection(case: dict[str, Any], organism: str, now: Live) -> Event:
    return on_strip.catheter_infection(
        case["onset_on"], case["kind"], case["confirmed"], case["reason"], organism,
        index_onset(case, now),
    )  # fmt: skip


def index_onset(case: dict[str, Any], now: Live) -> date | None:
    """Onset of the earlier episode that decided the sequence."""
    index = now.case(case["index_episode"], case["kind"]) if case["index_episode"] else None
    return index["onset_on"] if index else None


def finding(now: Live) -> str:
    """The first sentence of the page."""
    rows = [row for row in now.cases if row["kind"] == "peritonitis"]
    counted = sum(row["counts"] == "yes" for row in rows)
    if not rows:
        return "No peritonitis so far."
    many = f"{number_text(len(rows))} {'episode' if len(rows) == 1 else 'episodes'} of peritonitis"
    return f"{many}, {_counted(counted, len(rows))}."


def _counted(counted: int, of: int) -> str:
    if counted == of:
        return "counted" if of == 1 else "both counted" if of == 2 else "all counted"
    return f"{number_text(counted).lower() if counted else 'none'} counted"


def number_text(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def lead(patient: Patient, now: Live) -> str:
    """Days at risk, and how long ago the latest training was."""
    days = f"{now.days_at_risk:,} {'day' if now.days_at_risk == 1 else 'days'} at risk so far."
    done = [row.completed_on for row in standing("trainings", patient)]
    done = [day for day in done if day <= now.as_of]
    if not done:
        return f"{days} No training recorded."
    since = (now.as_of - max(done)).days
    return f"{days} {since:,} {'day' if since == 1 else 'days'} since the latest training."


def head_cells(patient: Patient, now: Live) -> list[tuple[str, str]]:
    spells = [row for row in standing("pd_spells", patient) if row.started_on <= now.as_of]
    open_spells = [row for row in spells if row.last_day_on is None]
    began = day_text(spells[0].started_on) if spells else "no PD recorded"
    cells = [("Patient", patient.number), ("PD since", began), ("Clinic", patient.clinic.name)]
    if patient.died_on:
        cells.append(("Now", f"died {day_text(patient.died_on)}"))
    elif open_spells:
        cells.append(("Now", _now(open_spells[-1])))
    return [*cells, *_catheter(patient, now), ("As of", day_text(now.as_of))]


def _now(spell: Any) -> str:
    helper = _HELPERS.get(spell.assistance, "")
    return ", ".join(filter(None, (_MODALITIES.get(spell.modality, "PD"), helper)))


def _catheter(patient: Patient, now: Live) -> list[tuple[str, str]]:
    in_place = [
        row
        for row in standing("catheters", patient)
        if row.removed_on is None and row.inserted_on <= now.as_of
    ]
    if not in_place:
        return []
    latest = in_place[-1]
    return [("Catheter", f"{latest.catheter}, day {(now.as_of - latest.inserted_on).days:,}")]


def episode_links(patient: Patient, now: Live) -> list[dict[str, Any]]:
    """Every episode with its page and its verdict, the latest first."""
    named = [(row, row.episode, ("peritonitis",)) for row in standing("peritonitis", patient)]
    named += [
        (row, row.infection, ("exit_site", "tunnel"))
        for row in standing("catheter_infections", patient)
    ]
    links = [_link(row, name, kinds, now) for row, name, kinds in named]
    return sorted(links, key=lambda link: link["on"] or date.min, reverse=True)


def _link(row: Any, name: str, kinds: tuple[str, ...], now: Live) -> dict[str, Any]:
    cases = [case for kind in kinds if (case := now.case(name, kind))]
    says = " ".join(title(case, index_onset(case, now)) for case in cases)
    if row.subject.name == "peritonitis" and (closed := closing(row)):
        says = f"{says} {closed}"
    return {
        "row": row,
        "name": name,
        "on": cases[0]["onset_on"] if cases else row.onset_on,
        "day": day_text(cases[0]["onset_on"] if cases else row.onset_on),
        "says": says or "Nothing can be said yet: no day of onset up to today.",
    }
