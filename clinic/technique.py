"""What an observed exchange says: slips at critical items, and the share done unprompted."""

from __future__ import annotations

from clinic.columns import SUBJECTS
from clinic.models import TechniqueObservation
from clinic.nursing_columns import CRITICAL_ITEMS, TECHNIQUE_ITEMS

SLIPS = ("prompted", "not_done")
_LABELS = {
    column.name: column.ask.removesuffix(" (critical)")
    for column in SUBJECTS["technique_observations"]
}


def critical_slips(observation: TechniqueObservation) -> list[str]:
    """The critical items that were left out, or done only after a prompt."""
    slips = [name for name in CRITICAL_ITEMS if getattr(observation, name) in SLIPS]
    return [_LABELS[name] for name in slips]


def done_of(observation: TechniqueObservation) -> tuple[int, int]:
    """Items done unprompted, and items judged at all."""
    answers = [getattr(observation, name) for name in TECHNIQUE_ITEMS]
    judged = [answer for answer in answers if answer in ("done", *SLIPS)]
    return judged.count("done"), len(judged)


def unjudged_critical(observation: TechniqueObservation) -> int:
    return sum(getattr(observation, name) == "" for name in CRITICAL_ITEMS)


def done_text(observation: TechniqueObservation) -> str:
    done, judged = done_of(observation)
    return f"{done} of {judged} done unprompted" if judged else "no item judged"


def finding(observation: TechniqueObservation) -> str:
    """Two critical errors: hands cleaned long enough; …"""
    slips = critical_slips(observation)
    if slips:
        many = "One critical error" if len(slips) == 1 else f"{len(slips)} critical errors"
        return f"{many}: {'; '.join(slip.lower() for slip in slips)}."
    if open_ := unjudged_critical(observation):
        return (
            f"No critical error; {open_} critical {'item' if open_ == 1 else 'items'} not judged."
        )
    return "No critical error: ready to be signed off."


def is_ready(observation: TechniqueObservation) -> bool:
    return not critical_slips(observation) and not unjudged_critical(observation)
