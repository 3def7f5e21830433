"""Observed exchanges of an invented patient: what was done, prompted or left out."""

from __future__ import annotations

from clinic.demo.chance import chosen, happens
from clinic.demo.life import Life
from clinic.demo.parameters import TrainingNumbers
from clinic.demo.record_folder import Row
from clinic.nursing_columns import CRITICAL_ITEMS, TECHNIQUE_ITEMS


def add_observations(life: Life, numbers: TrainingNumbers) -> None:
    """Every initial training ends with one, and many a reassessment; none does in the lapse."""
    lapse = life.clinic.lapse
    life.others["technique_observations"] = [
        _observation(life, row)
        for row in life.trainings
        if (row["kind"] == "initial" or happens(life.rng, numbers.observed_share))
        and not (lapse is not None and lapse.holds(row["completed_on"]))  # type: ignore[arg-type]
    ]


def _observation(life: Life, training: Row) -> Row:
    """Who was not signed off had slipped at a critical item; a slip elsewhere keeps nobody back."""
    rng = life.rng
    items = dict.fromkeys(TECHNIQUE_ITEMS, "done")
    if happens(rng, 0.3):
        harmless = [item for item in TECHNIQUE_ITEMS if item not in CRITICAL_ITEMS]
        items[chosen(rng, dict.fromkeys(harmless, 1.0))] = chosen(
            rng, {"prompted": 3, "not_done": 2, "not_applicable": 1}
        )
    if training["competent"] == "no":
        slip = chosen(rng, dict.fromkeys(CRITICAL_ITEMS, 1.0))
        items[slip] = chosen(rng, {"prompted": 1, "not_done": 1})
    return {
        "observed_on": training["completed_on"],
        "observer": training["trainer"],
        "learner": training["learner"],
        **items,
    }
