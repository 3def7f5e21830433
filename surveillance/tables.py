"""The tables at the seams, declared once: what the method is given and what it returns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import pandas as pd

NO_DAY = -(2**31)
NO_MOMENT = -(2**63)
NO_LINK = -1
YES, NO, UNKNOWN = 1, 0, -1

Kind = Literal["text", "choice", "day", "moment", "yes_no", "number", "whole", "link"]


@dataclass(frozen=True)
class Column:
    """One column of a table at a seam.

    How a record holds each kind: text = object of str; choice = Categorical; day = int32 days since
    1970-01-01; moment = int64 seconds since then; yes_no = int8 1, 0, -1 (unknown); number =
    float64; link = int32 row position in the parent's table. Missing: an empty text, NaN in choice
    and number, NO_DAY, NO_MOMENT and NO_LINK.
    How a result holds them: choice = Categorical whose empty cells are an empty text; day =
    Categorical of ISO text; whole = int64, or float64 with NaN where it may be empty.
    """

    name: str
    kind: Kind
    meaning: str
    unit: str = ""
    may_be_empty: bool = False
    may_be_absent: bool = False  # whoever makes the table may leave it out: then all is missing


def _day(name: str, meaning: str, may_be_empty: bool = True) -> Column:
    return Column(name, "day", meaning, "day, local", may_be_empty)


def _choice(name: str, meaning: str) -> Column:
    return Column(name, "choice", meaning, may_be_empty=True)


def _asked(name: str, meaning: str) -> Column:
    return Column(name, "yes_no", meaning, may_be_empty=True)


def _moment(name: str, meaning: str) -> Column:
    return Column(name, "moment", meaning, "s", may_be_empty=True, may_be_absent=True)


def _link(name: str, parent: str) -> Column:
    return Column(name, "link", f"row of {parent}")


_PATIENT = _link("patient", "patients")

# What `surveillance/extract.py` gives the method. Withdrawn rows never reach it; the day `as_of`
# has not been applied yet.
RECORD_TABLES: dict[str, tuple[Column, ...]] = {
    "clinics": (Column("clinic", "text", "the clinic's code"),),
    "patients": (
        _link("clinic", "clinics"),
        Column("patient", "text", "the clinic's own record number; rows sorted by clinic and this"),
        _day("died_on", "day of death"),
    ),
    "pd_spells": (
        _PATIENT,
        _day("started_on", "first day on dialysis at home", False),
        _day("last_day_on", "last day, itself counted; empty = still running"),
        _choice("modality", "capd or apd"),
        _choice("assistance", "self, family or nurse"),
        _choice("end_reason", "why it ended"),
    ),
    "pd_pauses": (
        _PATIENT,
        _day("started_on", "first day without dialysis at home", False),
        _day("last_day_on", "last day without; empty = still running"),
        _choice("reason", "why; two reasons stop the days at risk"),
    ),
    "catheters": (
        _PATIENT,
        Column("catheter", "text", "the catheter's name, unique in its patient"),
        _day("inserted_on", "day of insertion", False),
        _choice("insertion_method", "how it was inserted"),
        _day("removed_on", "day of removal, itself counted; empty = in place"),
        _choice("removal_reason", "why it was removed"),
    ),
    "trainings": (
        _PATIENT,
        _day("started_on", "first day of training"),
        _day("completed_on", "last day of training: the clocks start here", False),
        _choice("kind", "initial, scheduled or triggered"),
        _choice("trainer", "the trainer's code"),
    ),
    "peritonitis": (
        _PATIENT,
        Column("episode", "text", "the episode's name, unique in its patient"),
        _day("onset_on", "day of onset as recorded"),
        _day("presented_on", "day of presentation"),
        _asked("cloudy_effluent", "effluent cloudy"),
        _asked("abdominal_pain", "abdominal pain"),
        _day("first_antibiotic_on", "day of the first antibiotic"),
        _day("appropriate_antibiotic_on", "day of the first appropriate antibiotic"),
        _day("therapy_completed_on", "day of the last dose"),
        _asked("judged_refractory", "judged refractory by a clinician"),
        _asked("resolved", "resolved"),
        _moment("presented_at", "moment of presentation"),
        _moment("first_antibiotic_at", "moment of the first antibiotic"),
        Column("recorded_on", "day", "day it was entered", "day, local", True, True),
    ),
    "effluent_samples": (
        _link("episode", "peritonitis"),
        Column("sample", "text", "the sample's name, unique in its episode"),
        Column("collected_at", "moment", "moment of collection", "s", may_be_empty=True),
        _day("collected_on", "day of collection"),
        Column("dwell_hours", "number", "dwell time", "h", may_be_empty=True),
        Column("leucocytes_per_ul", "number", "leucocytes", "1/µL", may_be_empty=True),
        Column("neutrophil_percent", "number", "neutrophils", "%, 0-100", may_be_empty=True),
        _choice("appearance", "clear, cloudy or other"),
        _choice("culture", "grown, no_growth, not_taken or pending"),
        Column("antibiotics_before", "yes_no", "an antibiotic came first", "", True, True),
    ),
    "isolates": (
        _link("sample", "effluent_samples"),
        _choice("organism", "the organism as recorded: a name or a taxonomy id"),
    ),
    "catheter_infections": (
        _PATIENT,
        Column("infection", "text", "the infection's name, unique in its patient"),
        _choice("site", "exit_site, tunnel or both"),
        _day("onset_on", "day of onset", False),
        _asked("purulent_discharge", "pus at the exit site"),
        _asked("tunnel_inflammation", "inflammation along the tunnel"),
        _asked("tunnel_collection", "a collection along the tunnel"),
        _day("therapy_completed_on", "day of the last dose"),
        _choice("organism", "as recorded; `no_growth` = sterile; empty = not cultured"),
        _asked("refractory", "refractory"),
    ),
    "admissions": (
        _PATIENT,
        _day("admitted_on", "first day in hospital", False),
        _day("discharged_on", "last day in hospital; empty = still there"),
        Column("episode", "link", "row of peritonitis that it names", may_be_empty=True),
    ),
    "contaminations": (
        _PATIENT,
        _day("happened_on", "day of the contamination", False),
        _choice("kind", "dry or wet"),
        _asked("prophylaxis", "an antibiotic was given at once"),
    ),
}


def _text(name: str, meaning: str, may_be_empty: bool = False) -> Column:
    return Column(name, "choice", meaning, may_be_empty=may_be_empty)


_CRITERION = "met, not_met or not_assessable; peritonitis rows only"
_FLAG = "yes or no; confirmed peritonitis rows that are not same_episode only"

# What `surveillance/measures/compute.py` returns; the CSV columns of every export, in this order.
RESULT_TABLES: dict[str, tuple[Column, ...]] = {
    "measures": (
        _text("clinic", "clinic, or the network's name on network rows"),
        _text("period", "month, quarter, year or rolling year as text"),
        _day("period_start", "first day of the period", False),
        _day("period_end", "last day of the period, itself counted", False),
        _text("measure", "which figure"),
        _text("split", "what the figure is divided by; empty = undivided", True),
        _text("band", "which part of the split; empty = undivided", True),
        Column("numerator", "whole", "what is counted"),
        Column("denominator", "whole", "what it is counted over"),
        _text("denominator_unit", "patient_days, patients, episodes or catheters"),
        Column("value", "number", "the figure; empty at denominator 0", may_be_empty=True),
        Column("lower", "number", "lower limit", may_be_empty=True),
        Column("upper", "number", "upper limit", may_be_empty=True),
        Column("level", "number", "level of the limits", may_be_empty=True),
        _text("interval", "exact_poisson or exact_binomial; empty = none", True),
        Column("target", "number", "target of the rule set", may_be_empty=True),
        _text("verdict", "meets, misses, either with _uncertain, or no_data", True),
        _text("rule_set", "named rule set"),
        _day("as_of", "the day up to which the record was read", False),
    ),
    "cases": (
        _text("clinic", "clinic"),
        _text("patient", "the clinic's own record number"),
        _text("episode", "episode or infection"),
        _day("onset_on", "day that decides period and bands", False),
        _text("kind", "peritonitis, exit_site or tunnel"),
        _text("clinical_criterion", _CRITERION, True),
        _text("cell_criterion", _CRITERION, True),
        _text("culture_criterion", _CRITERION, True),
        _text("confirmed", "confirmed, not_confirmed or unconfirmed"),
        _text("culture_group", "positive, culture_pending, culture_negative or not_cultured"),
        _text("organism_group", "exclusive class"),
        _text("organism_groups", "groups of all organisms, joined by ;", True),
        _text("timing", "pre_pd or pd_associated"),
        _text("insertion_related", "yes, no or unknown"),
        _text("sequence", "new, relapsing, recurrent, repeat, same_episode, undetermined", True),
        _text("index_episode", "the earlier episode that decided the sequence", True),
        Column("gap_days", "whole", "onset minus the index's therapy end", "days", True),
        _text("catheter_related", "yes or no; confirmed peritonitis rows only", True),
        _text("medical_cure", _FLAG, True),
        _text("refractory", _FLAG + "; also not_assessable", True),
        _text("catheter_removed", _FLAG, True),
        _text("haemodialysis_transfer", _FLAG, True),
        _text("died", _FLAG, True),
        _text("admitted", _FLAG, True),
        _text("counts", "yes or no"),
        _text("reason", "why it counts or not"),
    ),
    "days": (
        _text("clinic", "clinic"),
        _text("period", "month, quarter, year or rolling year as text"),
        _text("split", "what the days are divided by; empty = undivided", True),
        _text("band", "which part of the split; empty = undivided", True),
        Column("days_at_risk", "whole", "patients' days at risk", "patient-days"),
        Column("catheter_days", "whole", "patients' days with a catheter in place", "days", True),
    ),
    "ledger": (
        _text("clinic", "clinic"),
        _text("patient", "the clinic's own record number"),
        _day("started_on", "first day of the stretch", False),
        _day("last_day_on", "last day of the stretch, itself counted", False),
        _text("state", "at_risk or off_risk"),
        Column("days", "whole", "length of the stretch", "days"),
        _text("reason", "why off risk: before_pd, paused, before_training or after_pd", True),
    ),
}

# What `surveillance/estimates/compute.py` returns.
ESTIMATES = (
    _text("clinic", "clinic"),
    _text("period", "quarter, year or rolling year as text"),
    _text("name", "which estimate; listed in DEVELOPERS.md"),
    _text("split", "what it is divided by; empty = undivided", True),
    _text("band", "which part of the split; empty = undivided", True),
    _text("method", "how it was reached"),
    Column("value", "number", "the estimate; empty where there is none", may_be_empty=True),
    Column("lower", "number", "lower limit at 95 %; empty = none", may_be_empty=True),
    Column("upper", "number", "upper limit at 95 %; empty = none", may_be_empty=True),
    _text("note", "what has to be known beside it, in words", True),
)

# What named persons hold of a category (`surveillance/snapshots/dissents.py`); it moves no figure.
DISSENTS = (
    _text("clinic", "clinic"),
    _text("patient", "the clinic's own record number"),
    _text("episode", "episode"),
    _day("onset_on", "day that decides the period", False),
    _text("sequence", "the category as derived", True),
    _text("dissent", "the category that the person holds for right"),
    _text("reason", "why, in the person's words"),
    _text("by", "the person"),
    _day("said_on", "day on which it was said", False),
)

# How each case came into the record (`surveillance/snapshots/entries.py`); it moves no figure.
ENTRIES = (
    _text("clinic", "clinic"),
    _text("patient", "the clinic's own record number"),
    _text("kind", "peritonitis or catheter_infection"),
    _text("episode", "episode or infection"),
    _text("found_by", "who found it, as recorded; empty = not recorded, or not asked", True),
    _day("entered_on", "day on which it was entered", False),
    _day("last_changed_on", "day of the last event about its row; a load from files is none", True),
)

# What `surveillance/signals/compute.py` returns.
SIGNALS = (
    _text("clinic", "clinic, or the network's name on a row about the whole network"),
    _text("rule", "which signal; listed in DEVELOPERS.md"),
    _text("measure", "the figure that is watched"),
    _text("split", "what it is divided by; empty = undivided", True),
    _text("band", "which part of the split; empty = undivided", True),
    _day("window_start", "first day that is looked at", False),
    _day("window_end", "last day that is looked at, itself counted", False),
    Column("observed", "whole", "what was counted in the window", may_be_empty=True),
    Column("expected", "number", "what the baseline or the rest gives there", may_be_empty=True),
    Column("statistic", "number", "what is held against the limit", may_be_empty=True),
    Column("limit", "number", "beyond it, strictly, the line stands out", may_be_empty=True),
    Column("p", "number", "chance of as much or more by luck", may_be_empty=True),
    Column("false_alarms_per_year", "number", "by luck, in this clinic", "1/year", True),
    _text("sentence", "what it says, for people"),
)

# Every table that a snapshot stores.
STORED_TABLES = {
    **RESULT_TABLES,
    "estimates": ESTIMATES,
    "signals": SIGNALS,
    "dissents": DISSENTS,
    "entries": ENTRIES,
}

# What `surveillance/measures/difference.py` returns.
DIFFERENCE = (
    *RESULT_TABLES["measures"][:7],  # clinic to band
    Column("numerator", "whole", "by the rule set asked for", "", True),
    Column("numerator_against", "whole", "by the other", "", True),
    Column("denominator", "whole", "by the rule set asked for; empty = no such row", "", True),
    Column("denominator_against", "whole", "by the other", "", True),
    Column("value", "number", "by the rule set asked for", "", True),
    Column("value_against", "number", "by the other", "", True),
    Column("target", "number", "of the rule set asked for", "", True),
    Column("target_against", "number", "of the other", "", True),
    _text("verdict", "by the rule set asked for", True),
    _text("verdict_against", "by the other", True),
    _text("rules", "the rules that differ: either value with its source and place"),
)

# Every table that can be written; the last is made when it is asked for.
WRITTEN_TABLES = {**STORED_TABLES, "difference": DIFFERENCE}

_MISSING = {"day": NO_DAY, "moment": NO_MOMENT, "yes_no": UNKNOWN}
_DTYPES = {"day": "int32", "moment": "int64", "yes_no": "int8", "number": "float64"}
_DTYPES |= {"link": "int32", "text": "object", "choice": "category"}


def typed_frame(columns: tuple[Column, ...], values: Mapping[str, Any]) -> pd.DataFrame:
    """A table of the record with its declared columns and dtypes, made of plain sequences.

    columns: one of RECORD_TABLES; values: a sequence for each of them (all but those that may be
    absent), or for none (an empty table). Raises ValueError on a missing or an undeclared column.
    Test: tests/surveillance/test_tables.py.
    """
    names = {column.name for column in columns}
    wanted = names - {column.name for column in columns if column.may_be_absent}
    given = set(values)
    if values and not wanted <= given <= names:
        raise ValueError(f"columns differ: {sorted((wanted - given) | (given - names))}")
    size = len(next(iter(values.values()))) if values else 0
    made = {column.name: _series(column, _given(column, values, size)) for column in columns}
    return pd.DataFrame(made)


def _given(column: Column, values: Mapping[str, Any], size: int) -> Any:
    if column.name in values or not column.may_be_absent:
        return values.get(column.name, [])
    return np.full(size, _MISSING[column.kind])


def _series(column: Column, values: Any) -> pd.Series[Any]:
    if column.kind != "choice" or isinstance(getattr(values, "dtype", None), pd.CategoricalDtype):
        return pd.Series(values, dtype=_DTYPES[column.kind]).reset_index(drop=True)
    plain = np.array([value or None for value in values], dtype=object)
    return pd.Series(pd.Categorical(plain))


@dataclass(frozen=True)
class Record:
    """The record of some clinics as columns; each frame as RECORD_TABLES declares it."""

    clinics: pd.DataFrame
    patients: pd.DataFrame
    pd_spells: pd.DataFrame
    pd_pauses: pd.DataFrame
    catheters: pd.DataFrame
    trainings: pd.DataFrame
    peritonitis: pd.DataFrame
    effluent_samples: pd.DataFrame
    isolates: pd.DataFrame
    catheter_infections: pd.DataFrame
    admissions: pd.DataFrame
    contaminations: pd.DataFrame


@dataclass(frozen=True)
class Result:
    """What the method says about some clinics; each frame as RESULT_TABLES declares it, sorted."""

    measures: pd.DataFrame
    cases: pd.DataFrame
    days: pd.DataFrame
    ledger: pd.DataFrame


def record_of(tables: Mapping[str, Mapping[str, Any]]) -> Record:
    """A Record of plain columns; a table left out is empty. Test: test_tables.py."""
    unknown = set(tables) - set(RECORD_TABLES)
    if unknown:
        raise ValueError(f"no such table of the record: {sorted(unknown)}")
    return Record(
        **{name: typed_frame(RECORD_TABLES[name], tables.get(name, {})) for name in RECORD_TABLES}
    )
