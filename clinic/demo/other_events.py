"""What else happens to an invented patient: catheter infections, contaminations, pauses, stays."""

from __future__ import annotations

from datetime import date, timedelta

from clinic.demo.chance import chosen, happens, how_many, within
from clinic.demo.life import Life, at_some_time
from clinic.demo.parameters import CatheterInfectionNumbers, Parameters
from clinic.demo.record_folder import Row


def add_other_events(life: Life, numbers: Parameters) -> None:
    _add_pauses(life, numbers)
    life.others["catheter_infections"] = _catheter_infections(life, numbers)
    life.others["contaminations"] = _contaminations(life, numbers)
    life.others["admissions"] = _other_admissions(life, numbers)


def _quiet(life: Life, day: date, around_days: int) -> bool:
    """On PD and well away from every episode, pause and end."""
    last = life.last_day - timedelta(days=around_days)
    away = [abs((day - episode.onset_on).days) > around_days for episode in life.episodes]
    paused = [
        row["started_on"] - timedelta(days=around_days) <= day <= row["last_day_on"]  # type: ignore[operator]
        for row in life.pauses
    ]
    return life.first_day + timedelta(days=30) <= day <= last and all(away) and not any(paused)


def _add_pauses(life: Life, numbers: Parameters) -> None:
    interruption = numbers.interruption
    for _ in range(how_many(life.rng, interruption.pause_rate, life.years)):
        day, length = life.any_day(), within(life.rng, interruption.days)
        if _quiet(life, day, 75):
            life.pauses.append(
                {
                    "started_on": day,
                    "last_day_on": day + timedelta(days=length - 1),
                    "reason": chosen(life.rng, interruption.reasons),
                }
            )


def _catheter_infections(life: Life, numbers: Parameters) -> list[Row]:
    infection = numbers.catheter_infection
    days = [life.any_day() for _ in range(how_many(life.rng, infection.rate, life.years))]
    rows = [_catheter_infection(life, infection, day) for day in days if _quiet(life, day, 20)]
    for episode in life.episodes:
        if episode.organisms and episode.cause == "skin":
            day = episode.onset_on - timedelta(days=within(life.rng, (2, 20)))
            if day > life.first_day and happens(life.rng, infection.shared_with_skin_peritonitis):
                row = _catheter_infection(life, infection, day)
                rows.append(row | {"organism": episode.organisms[0]})
    return rows


def _catheter_infection(life: Life, numbers: CatheterInfectionNumbers, day: date) -> Row:
    rng = life.rng
    site = chosen(rng, numbers.sites)
    pus = happens(rng, numbers.pus_share)
    tunnel = site in ("tunnel", "both")
    return {
        "site": site,
        "onset_on": day,
        "purulent_discharge": ("yes" if pus else "no") if site != "tunnel" else "",
        "redness": chosen(rng, {"yes": 0.7, "no": 0.2, "unknown": 0.1}),
        "tunnel_inflammation": "yes" if tunnel else "",
        "tunnel_collection": chosen(rng, {"yes": 0.4, "no": 0.4, "": 0.2}) if tunnel else "",
        "therapy_completed_on": day + timedelta(days=within(rng, (14, 22))),
        "organism": chosen(rng, numbers.organisms),
        "refractory": "yes" if happens(rng, 0.08) else "no",
    }


def _contaminations(life: Life, numbers: Parameters) -> list[Row]:
    contamination, rng = numbers.contamination, life.rng
    return [
        {
            "happened_at": at_some_time(rng, life.any_day()),
            "kind": "wet" if happens(rng, contamination.wet_share) else "dry",
            "prophylaxis": "yes" if happens(rng, contamination.prophylaxis_share) else "no",
        }
        for _ in range(how_many(rng, contamination.rate, life.years))
    ]


def _other_admissions(life: Life, numbers: Parameters) -> list[Row]:
    """Stays for other reasons; the days at home and in hospital both count as at risk."""
    rate = numbers.interruption.other_admission_rate
    days = {life.any_day() for _ in range(how_many(life.rng, rate, life.years))}
    return [
        {
            "admitted_on": day,
            "discharged_on": day + timedelta(days=within(life.rng, numbers.outcome.stay_days)),
        }
        for day in sorted(days)
        if _quiet(life, day, 20)
    ]
