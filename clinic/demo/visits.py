"""Exit-site checks at an invented patient's visits."""

from __future__ import annotations

from datetime import date, timedelta

from clinic.demo.chance import chosen, happens, within
from clinic.demo.life import Life
from clinic.demo.parameters import VisitNumbers
from clinic.demo.record_folder import Row
from clinic.nursing_columns import SCORED_SIGNS


def add_visits(life: Life, numbers: VisitNumbers) -> None:
    """From visit to visit while on PD, and once more on the day that an infection shows pus."""
    checks = {row["onset_on"]: _infected(life, row) for row in _with_pus(life)}
    day = life.first_day + timedelta(days=within(life.rng, numbers.every_days))
    while day <= life.last_day:
        found = happens(life.rng, numbers.finding_share)
        checks.setdefault(day, _usual(life, found))
        day += timedelta(days=within(life.rng, numbers.again_days if found else numbers.every_days))
    life.others["exit_site_checks"] = [
        {"checked_on": day} | checks[day] for day in sorted(checks, key=_as_day)
    ]


def _as_day(cell: object) -> date:
    assert isinstance(cell, date)
    return cell


def _with_pus(life: Life) -> list[Row]:
    return [row for row in life.others["catheter_infections"] if row["purulent_discharge"] == "yes"]


def _usual(life: Life, found: bool) -> Row:
    """A sign without pus now and then: looked at again, and never an infection by itself."""
    signs = dict.fromkeys(SCORED_SIGNS, "0")
    if found:
        signs[chosen(life.rng, {"redness": 2, "crust": 2, "swelling": 1, "pain": 1})] = "1"
    looks = "equivocal" if found else chosen(life.rng, {"perfect": 0.45, "good": 0.55})
    return {"purulent_discharge": "no", **signs, "appearance": looks, "tunnel_inflammation": "no"}


def _infected(life: Life, infection: Row) -> Row:
    signs = {name: chosen(life.rng, {"1": 0.6, "2": 0.4}) for name in SCORED_SIGNS}
    return {
        "purulent_discharge": "yes",
        **signs,
        "secretion": "2",
        "appearance": "acute",
        "tunnel_inflammation": infection["tunnel_inflammation"] or "no",
        "tunnel_collection": infection["tunnel_collection"],
    }
