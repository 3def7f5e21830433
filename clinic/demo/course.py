"""One invented episode of peritonitis from the cloudy bag to its outcome."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from clinic.demo.chance import chosen, happens, within
from clinic.demo.effluent import Grown, culture_cells, effluent_samples, grown
from clinic.demo.life import Episode, Life, at_some_time, catheter
from clinic.demo.parameters import OutcomeNumbers, Parameters
from clinic.demo.record_folder import Row

LONG_THERAPY = {"Staphylococcus aureus", "Pseudomonas aeruginosa", "Enterococcus faecalis"}
SOURCES = {"skin": "touch", "enteric": "enteric", "water": "other", "other": "procedure"}


def run_course(
    life: Life, numbers: Parameters, onset_on: date, cause: str, organisms: tuple[str, ...] | None
) -> Episode:
    """Presentation, samples, treatment, outcome; the outcome may pause or end the PD."""
    rng = life.rng
    presented_at = at_some_time(rng, onset_on + timedelta(days=_delay(life)))
    found = grown(life, numbers, cause, onset_on, organisms)
    refractory = happens(rng, numbers.outcome.refractory_share)
    cells = _presentation(life, presented_at) | {"judged_source": _source(life, cause)}
    bath = life.clinic.water_bath
    if bath is not None and life.is_exposed and bath.touches(onset_on):
        cells["exchange_place"] = bath.place
    episode = Episode(onset_on, cells, cause=cause, organisms=found.organisms)
    episode.samples = effluent_samples(life, numbers, presented_at, found, refractory)
    episode.cells["judged_refractory"] = "yes" if refractory else "no"
    life.episodes.append(episode)
    if refractory:
        _refractory_end(life, numbers, episode)
    else:
        _cured_or_dead(life, numbers.outcome, episode, found)
    episode.admission = _admission(life, numbers.outcome, presented_at.date())
    return episode


def _delay(life: Life) -> int:
    return int(chosen(life.rng, {"0": 0.72, "1": 0.22, "2": 0.06}))


def _source(life: Life, cause: str) -> str:
    """Judged by people, and not always: a fifth stays without a judgement."""
    return SOURCES[cause] if happens(life.rng, 0.8) else ""


def _presentation(life: Life, presented_at: datetime) -> Row:
    rng = life.rng
    first_antibiotic = presented_at + timedelta(minutes=within(rng, (45, 300)))
    appropriate = first_antibiotic + timedelta(days=0 if happens(rng, 0.8) else 2)
    return {
        "presented_at": presented_at,
        "cloudy_effluent": chosen(rng, {"yes": 0.95, "no": 0.03, "unknown": 0.02}),
        "abdominal_pain": chosen(rng, {"yes": 0.78, "no": 0.18, "unknown": 0.04}),
        "first_antibiotic_at": first_antibiotic,
        "appropriate_antibiotic_at": appropriate,
        "found_by": chosen(rng, {"clinic": 0.86, "hospital": 0.09, "laboratory": 0.05}),
    }


def _refractory_end(life: Life, numbers: Parameters, episode: Episode) -> None:
    """Mostly the catheter comes out; then haemodialysis for a while or for good."""
    rng, outcome = life.rng, numbers.outcome
    removed_on = episode.onset_on + timedelta(days=within(rng, (6, 9)))
    episode.therapy_completed_on = removed_on + timedelta(days=14)
    episode.cells["resolved"] = "yes" if happens(rng, 0.7) else "no"
    if not happens(rng, outcome.removal_share_of_refractory) or removed_on >= life.last_day:
        return
    life.catheters[-1] |= {"removed_on": removed_on, "removal_reason": "peritonitis"}
    episode.cells |= {
        "catheter_decision": "remove",
        "catheter_decided_on": removed_on - timedelta(days=1),
    }
    if happens(rng, outcome.transfer_for_good_share):
        life.end(removed_on - timedelta(days=1), "haemodialysis")
        return
    back_on = removed_on + timedelta(days=within(rng, outcome.pause_days))
    if back_on >= life.last_day:
        life.end(removed_on - timedelta(days=1), "haemodialysis")
        return
    _pause_and_return(life, numbers, removed_on, back_on)


def _pause_and_return(life: Life, numbers: Parameters, removed_on: date, back_on: date) -> None:
    life.pauses.append(
        {
            "started_on": removed_on,
            "last_day_on": back_on - timedelta(days=1),
            "reason": "temporary_haemodialysis",
        }
    )
    rested_days = min(10, (back_on - removed_on).days - 1)
    inserted_on = back_on - timedelta(days=rested_days)
    life.catheters.append(catheter(life.rng, numbers, inserted_on, rested_days))


def _cured_or_dead(life: Life, outcome: OutcomeNumbers, episode: Episode, found: Grown) -> None:
    rng = life.rng
    if happens(rng, outcome.death_share):
        life.died_on = episode.onset_on + timedelta(days=within(rng, (3, 20)))
        life.end(life.died_on, "death")
        return
    length = 21 if LONG_THERAPY & set(found.organisms) else 14
    episode.therapy_completed_on = episode.onset_on + timedelta(days=length + within(rng, (0, 3)))
    episode.cells["resolved"] = "yes"


def _admission(life: Life, outcome: OutcomeNumbers, presented_on: date) -> Row | None:
    if not happens(life.rng, outcome.admitted_share):
        return None
    discharged_on = presented_on + timedelta(days=within(life.rng, outcome.stay_days))
    discharged_on = min(discharged_on, life.died_on or discharged_on)
    return {"admitted_on": presented_on, "discharged_on": discharged_on}


def false_alarm(life: Life, numbers: Parameters, day: date) -> Episode:
    """A call that was ruled out: pain, a clear bag, few cells, nothing grown in three days."""
    rng = life.rng
    presented_at = at_some_time(rng, day)
    cells: Row = {
        "presented_at": presented_at,
        "cloudy_effluent": "no",
        "abdominal_pain": "yes",
        "first_antibiotic_at": presented_at + timedelta(minutes=within(rng, (45, 300))),
        "found_by": "clinic",
        "resolved": "yes",
        "closed_as": "ruled_out",
        "closed_because": "Clear effluent, few cells, nothing grown.",
    }
    taken_at = presented_at + timedelta(minutes=20)
    sample = culture_cells(life, numbers.effluent, taken_at, "no_growth")
    sample |= {
        "dwell_hours": within(rng, (3, 6)),
        "leucocytes_per_ul": within(rng, (4, 70)),
        "neutrophil_percent": within(rng, (5, 40)),
        "appearance": "clear",
        "antibiotics_before": "no",
    }
    given_until = presented_at.date() + timedelta(days=3)
    return Episode(day, cells, [(sample, ())], cause="none", therapy_completed_on=given_until)
