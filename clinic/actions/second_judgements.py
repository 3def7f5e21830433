"""A second judgement asked for and given; neither touches the first."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from clinic.actions.audit import write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_right
from clinic.blinding import first_judges, is_judged
from clinic.clock import now
from clinic.lineage import clinic_of
from clinic.models import Peritonitis, Person, SecondJudgement
from clinic.roles import can

RIGHT = "episode.second_judgement"


def ask_second_judgement(*, episode: Peritonitis, by: Person, judge: Person) -> SecondJudgement:
    """From now on the first judgement is hidden from the judge, until theirs is saved."""
    require_right(by, RIGHT, episode)
    _require_fit(episode, by, judge)
    with transaction.atomic():
        asked, _ = SecondJudgement.objects.select_for_update().update_or_create(
            episode=episode, judged_at=None,
            defaults={"judge": judge, "asked_by": by, "asked_at": now()},
        )  # fmt: skip
        _tell(episode, by, "ask", {"judge": [None, judge.name]})
    return asked


def _require_fit(episode: Peritonitis, by: Person, judge: Person) -> None:
    if not is_judged(episode):
        raise refuse("judge", "Nobody has judged this episode yet: review it first.")
    if SecondJudgement.objects.filter(episode=episode, judged_at__isnull=False).exists():
        raise refuse("judge", "It was judged a second time already.")
    if not can(judge, RIGHT, episode):
        raise refuse("judge", "Ask a nurse or a director of this clinic.")
    if judge == by or judge.pk in first_judges(episode):
        raise refuse("judge", "Ask somebody who has not judged it, and not yourself.")


def give_second_judgement(*, asked: SecondJudgement, by: Person, **values: Any) -> SecondJudgement:
    """Where the person who was asked judges that the episode came from; then both are seen."""
    require_right(by, RIGHT, asked.episode)
    with transaction.atomic():
        held = SecondJudgement.objects.select_for_update().get(pk=asked.pk)
        if held.judge_id != by.pk or held.judged_at is not None:
            raise PermissionDenied("This judgement is asked of another person, or given already.")
        for name in ("route", "certainty", "preventable"):
            setattr(held, name, values.get(name) or "")
        if not held.route:
            raise refuse("route", "Choose where it came from, or that it cannot be told.")
        held.judged_at = now()
        held.save()
        _tell(held.episode, by, "judge", {"route": [None, held.route]})
    return held


def _tell(episode: Peritonitis, by: Person, verb: str, changes: dict[str, Any]) -> None:
    write_event(
        clinic=clinic_of(episode), by=by, verb=verb, thing="second_judgement",
        thing_uid=episode.uid, patient_uid=episode.patient.uid, changes=changes,
    )  # fmt: skip
