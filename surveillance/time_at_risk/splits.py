"""What days at risk are divided by: the clocks, the catheter, the trainer, the way of dialysis."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pandas as pd

from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.steps import (
    BandSteps,
    Steps,
    age_labels,
    aged,
    latest_open,
    steps_from,
)
from surveillance.time_at_risk.stretches import Bools, Ints, changes
from surveillance.time_at_risk.timeline import Timeline, open_ended

UNKNOWN = "unknown"
NONE_RECORDED = "none_recorded"

SplitMaker = Callable[[Timeline, RuleSet], BandSteps]


def text_rank(texts: pd.Series[str]) -> Ints:
    """Rank of each text in code-point order. Test: test_splits.py."""
    return pd.factorize(texts.to_numpy(dtype=object), sort=True)[0].astype(np.int64)


def category_codes(column: pd.Series[str], *more: str) -> tuple[Ints, tuple[str, ...]]:
    """Codes of a choice column in code-point order, empty last, and the bands they name.

    An empty cell is the band `unknown`; `more` are bands beside it. A value that is spelled like
    one of them joins it. Test: test_splits.py.
    """
    values = column.cat.categories.tolist()
    labels = tuple(dict.fromkeys([*sorted(values), UNKNOWN, *more]))
    places = np.array([labels.index(value) for value in values] + [labels.index(UNKNOWN)])
    return places[column.cat.codes.to_numpy().astype(np.int64)].astype(np.int64), labels


def _clock(at: Timeline, rows: Bools, rule_set: RuleSet) -> BandSteps:
    """Days since the latest of some trainings, `none_recorded` before the first."""
    cuts = rule_set.cuts("training_bands_start_at")
    trainings = at.record.trainings
    completed = days_of(trainings, "completed_on")
    done = rows & (completed != NO_DAY)
    place = at.line.at(trainings["patient"].to_numpy()[done], completed[done])
    base = steps_from(at.line.starts(), place, place, -1)
    return _banded(aged(base, base.code, cuts), (*age_labels(cuts), NONE_RECORDED))


def _banded(steps: Steps, labels: tuple[str, ...]) -> BandSteps:
    """Code -1 becomes the last label."""
    return BandSteps(
        Steps(steps.start, np.where(steps.code < 0, len(labels) - 1, steps.code)), labels
    )


def _training_clock(kind: str | None) -> SplitMaker:
    def since_training(at: Timeline, rule_set: RuleSet) -> BandSteps:
        trainings = at.record.trainings
        every = np.ones(len(trainings), dtype=bool)
        rows = every if kind is None else np.asarray(trainings["kind"] == kind)
        return _clock(at, rows, rule_set)

    return since_training


def time_on_pd(at: Timeline, rule_set: RuleSet) -> BandSteps:
    """Days since the first spell day in this clinic, gaps not subtracted. Test: test_splits.py."""
    cuts = rule_set.cuts("training_bands_start_at")
    began = np.flatnonzero(at.pd_began <= at.line.stop_day)
    place = at.line.at(began, at.pd_began[began])
    base = steps_from(at.line.starts(), place, place, -1)
    return _banded(aged(base, base.code, cuts), (*age_labels(cuts), NONE_RECORDED))


def _spell_value(column: str) -> SplitMaker:
    def of_latest_spell(at: Timeline, rule_set: RuleSet) -> BandSteps:
        spells = at.record.pd_spells
        codes, labels = category_codes(spells[column])
        start, stop = open_ended(spells, "started_on", "last_day_on", at.line.stop_day)
        rows = np.flatnonzero(start < stop)
        patient = spells["patient"].to_numpy()[rows]
        places = at.line.at(patient, start[rows])
        order = np.argsort(places, kind="stable")
        ends = at.line.at(patient, stop[rows])[order]
        steps = latest_open(at.line.starts(), places[order], ends)
        code = np.append(codes[rows][order], labels.index(UNKNOWN))[steps.code]
        return BandSteps(Steps(steps.start, code), labels)

    return of_latest_spell


def _catheter_in_place(at: Timeline) -> tuple[Steps, Ints]:
    """Row of the catheter in place each day (later inserted, then last by name), -1 = none."""
    catheters = at.record.catheters
    start, stop = open_ended(catheters, "inserted_on", "removed_on", at.line.stop_day)
    patient = catheters["patient"].to_numpy()
    rows = np.lexsort((text_rank(catheters["catheter"]), at.line.at(patient, start)))
    rows = rows[(start < stop)[rows]]
    place = at.line.at(patient[rows], start[rows])
    steps = latest_open(at.line.starts(), place, at.line.at(patient[rows], stop[rows]))
    return Steps(steps.start, np.append(rows, -1)[steps.code]), at.line.at(patient, start)


def catheter_age(at: Timeline, rule_set: RuleSet) -> BandSteps:
    """Days since insertion of the catheter in place. Test: test_splits.py."""
    cuts = rule_set.cuts("catheter_bands_start_at")
    steps, inserted = _catheter_in_place(at)
    since = np.append(inserted, -1)[steps.code]
    return _banded(aged(steps, since, cuts), (*age_labels(cuts), NONE_RECORDED))


def insertion_method(at: Timeline, rule_set: RuleSet) -> BandSteps:
    """How the catheter in place was inserted. Test: test_splits.py."""
    codes, labels = category_codes(at.record.catheters["insertion_method"], NONE_RECORDED)
    steps, _ = _catheter_in_place(at)
    code = np.append(codes, labels.index(NONE_RECORDED))[steps.code]
    return BandSteps(Steps(steps.start, code), labels)


def _trainer_steps(at: Timeline, rows: Ints, only_first: bool) -> BandSteps:
    """The trainer of each training day; of one day the first by name, empty last."""
    trainings = at.record.trainings
    codes, labels = category_codes(trainings["trainer"], NONE_RECORDED)
    # Names rise in code-point order; empty sorts behind them all whatever its label.
    order = np.where(trainings["trainer"].isna(), len(labels), codes)[rows]
    patient = trainings["patient"].to_numpy()[rows]
    place = at.line.at(patient, days_of(trainings, "completed_on")[rows])
    sort = np.lexsort((order, place))
    group = patient[sort] if only_first else place[sort]
    first = sort[changes(group)]
    none = labels.index(NONE_RECORDED)
    return BandSteps(steps_from(at.line.starts(), place[first], codes[rows][first], none), labels)


def trainer(at: Timeline, rule_set: RuleSet) -> BandSteps:
    """Who gave the latest training of any kind. Test: test_splits.py."""
    done = np.flatnonzero(days_of(at.record.trainings, "completed_on") != NO_DAY)
    return _trainer_steps(at, done, only_first=False)


def first_trainer(at: Timeline, rule_set: RuleSet) -> BandSteps:
    """Who gave the earliest initial training. Test: test_splits.py."""
    trainings = at.record.trainings
    initial = np.asarray(trainings["kind"] == "initial")
    done = np.flatnonzero(initial & (days_of(trainings, "completed_on") != NO_DAY))
    return _trainer_steps(at, done, only_first=True)


# A newcomer adds a split here. Source: design 3.3.
SPLITS: dict[str, SplitMaker] = {
    "time_since_training": _training_clock(None),
    "time_since_initial_training": _training_clock("initial"),
    "time_since_scheduled_training": _training_clock("scheduled"),
    "time_since_triggered_training": _training_clock("triggered"),
    "time_on_pd": time_on_pd,
    "catheter_age": catheter_age,
    "insertion_method": insertion_method,
    "modality": _spell_value("modality"),
    "assistance": _spell_value("assistance"),
    "trainer": trainer,
    "first_trainer": first_trainer,
}
