"""Turns complete lives into rows of the record, with the names that a clinic gives."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from clinic.demo.effluent import resistances
from clinic.demo.entered import delay_days, mark_entered
from clinic.demo.known import CULTURE_DAYS, nothing_after
from clinic.demo.life import Episode, Life
from clinic.demo.parameters import Parameters
from clinic.demo.record_folder import Row, Rows

_REMOVAL = {"transplant": "not_needed", "recovery": "not_needed", "haemodialysis": "other"}


def life_rows(life: Life, numbers: Parameters, whose: Row) -> Rows:
    rows: Rows = {
        "patients": [life.person | {"died_on": life.died_on}],
        "pd_spells": _spells(life),
        "pd_pauses": [row for row in life.pauses if _before_end(row["started_on"], life)],
        "catheters": _named(_catheters(life), "catheter", "C"),
        "trainings": [row for row in life.trainings if _before_end(row["completed_on"], life)],
        "catheter_infections": _named(
            sorted(life.others["catheter_infections"], key=_onset), "infection", "X"
        ),
        "admissions": list(life.others["admissions"]),
        "contaminations": life.others["contaminations"],
        "exit_site_checks": [row for row in life.others["exit_site_checks"] if _free(row, life)],
        "technique_observations": [
            row
            for row in life.others["technique_observations"]
            if _before_end(row["observed_on"], life)
        ],
    }
    delays: dict[str, int] = {}
    for number, episode in enumerate(sorted(life.episodes, key=lambda one: one.onset_on), start=1):
        late = episode.entered_after_days
        delays[f"E{number}"] = delay_days(life.rng, numbers.entry) if late is None else late
        for subject, made in _episode_rows(life, numbers, episode, f"E{number}").items():
            rows.setdefault(subject, []).extend(made)
    rows["admissions"] = _one_a_day(rows["admissions"])
    rows = nothing_after(rows, life.died_on) if life.died_on else rows
    mark_entered(rows, life.rng, life.first_day, delays)
    return {subject: [whose | row for row in made] for subject, made in rows.items()}


def _onset(row: Row) -> date:
    assert isinstance(row["onset_on"], date)
    return row["onset_on"]


def _before_end(day: object, life: Life) -> bool:
    return isinstance(day, date) and day <= life.last_day


def _free(row: Row, life: Life) -> bool:
    """A visit while on PD and in no pause."""
    day = row["checked_on"]
    paused = [one["started_on"] <= day <= one["last_day_on"] for one in life.pauses]  # type: ignore[operator]
    return _before_end(day, life) and not any(paused)


def _named(rows: list[Row], column: str, letter: str) -> list[Row]:
    return [{column: f"{letter}{number}"} | row for number, row in enumerate(rows, start=1)]


def _spells(life: Life) -> list[Row]:
    whole: Row = {
        "started_on": life.first_day,
        "last_day_on": life.last_day,
        "modality": life.modality,
        "assistance": life.assistance,
        "end_reason": life.end_reason,
    }
    if life.switched_on is None or life.switched_on >= life.last_day:
        return [whole]
    first = whole | {"last_day_on": life.switched_on - timedelta(days=1), "end_reason": None}
    return [first, whole | {"started_on": life.switched_on, "modality": "apd"}]


def _catheters(life: Life) -> list[Row]:
    """The last catheter comes out some days after a lasting end, unless the patient died."""
    rows = [row for row in life.catheters if _before_end(row["inserted_on"], life)]
    reason = _REMOVAL.get(life.end_reason)
    if reason and "removed_on" not in rows[-1]:
        rows[-1] = rows[-1] | {
            "removed_on": life.last_day + timedelta(days=21),
            "removal_reason": reason,
        }
    return rows


def _episode_rows(life: Life, numbers: Parameters, episode: Episode, name: str) -> Rows:
    of_episode: Row = {"episode": name}
    rows: Rows = {
        "peritonitis": [
            of_episode
            | episode.cells
            | {"onset_on": episode.onset_on, "therapy_completed_on": episode.therapy_completed_on}
        ],
        "effluent_samples": [],
        "isolates": [],
        "susceptibilities": [],
        "admissions": [episode.admission | of_episode] if episode.admission else [],
        "calls": [of_episode | row for row in episode.calls],
        "therapies": [of_episode | row for row in episode.therapies],
        "root_cause_reviews": [of_episode | row for row in episode.reviews],
    }
    for number, (cells, organisms) in enumerate(episode.samples, start=1):
        of_sample = of_episode | {"sample": f"S{number}"}
        rows["effluent_samples"].append(of_sample | cells)
        _add_isolates(life, numbers, rows, of_sample | _reported(cells), organisms)
    return rows


def _reported(cells: Row) -> Row:
    """The day the laboratory reports, under `reported_on`, which decides what is known."""
    collected_at = cells["collected_at"]
    assert isinstance(collected_at, datetime)
    return {"reported_on": (collected_at + timedelta(days=CULTURE_DAYS)).date()}


def _add_isolates(
    life: Life, numbers: Parameters, rows: Rows, of_sample: Row, organisms: tuple[str, ...]
) -> None:
    for organism in organisms:
        isolate = of_sample | {"organism": organism}
        named: Row = {"identified_on": isolate["reported_on"], "certainty": "final"}
        rows["isolates"].append(isolate | named)
        for agent, result in resistances(life.rng, numbers, organism):
            rows["susceptibilities"].append(isolate | {"agent": agent, "result": result})


def _one_a_day(rows: list[Row]) -> list[Row]:
    """A day of admission names the row; the one that names its episode stays."""
    by_day: dict[object, Row] = {}
    for row in sorted(rows, key=lambda one: "episode" in one):
        by_day[row["admitted_on"]] = row
    return list(by_day.values())
