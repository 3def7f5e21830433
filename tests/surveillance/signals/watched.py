"""Small watched clinics and their signal rows."""

from datetime import date

import pandas as pd

from surveillance.rules import RULE_SETS
from surveillance.signals.compute import compute_everything
from surveillance.signals.phases import Phases
from surveillance.tables import Record
from tests.surveillance.records import (
    AS_OF,
    catalogue,
    cells_met,
    day,
    make_record,
    peritonitis,
    spell,
)

Case = tuple[str, int, str]  # onset, patient, organism ('' = no growth)


def clinic(patients: int, cases: list[Case], began: str = "2022-01-01", **more: object) -> Record:
    """So many patients on dialysis since a day, and confirmed episodes two weeks long."""
    order = sorted(cases)
    grown = [(place, organism) for place, (_, _, organism) in enumerate(order) if organism]
    return make_record(
        patients=[{"patient": f"P{number:03}"} for number in range(max(1, patients))],
        pd_spells=[spell(began, patient=number) for number in range(patients)],
        peritonitis=[
            peritonitis(f"E{place}", onset, day(onset) + 14, patient=patient)
            for place, (onset, patient, _) in enumerate(order)
        ],
        effluent_samples=[
            cells_met(place, onset, culture="grown" if organism else "no_growth")
            for place, (onset, _, organism) in enumerate(order)
        ],
        isolates=[{"sample": place, "organism": organism} for place, organism in grown],
        **more,
    )


def signal_frame_of(
    record: Record, as_of: date = AS_OF, phases: Phases | None = None, through: str | None = None
) -> pd.DataFrame:
    rules = RULE_SETS["rule_2022"]
    return compute_everything(record, catalogue(), rules, as_of, through, phases).signals


def signals(record: Record, rule: str, band: str = "", **more: object) -> list[dict]:
    """The rows of one rule and band in order of time; a missing number is None."""
    frame = signal_frame_of(record, **more)
    chosen = frame[(frame["rule"] == rule) & (frame["band"] == band)]
    return [
        {name: None if value != value else value for name, value in row.items()}
        for row in chosen.to_dict("records")
    ]
