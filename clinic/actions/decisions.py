"""Decisions and their reviews: written once, with their event; history is never changed."""

from __future__ import annotations

import re
from datetime import date

from django.db import transaction

from clinic.actions.audit import write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_right, visible_characters
from clinic.clock import now, today
from clinic.models import Clinic, Decision, DecisionReview, Grant, Patient, Person
from clinic.models.decisions import LOOK_AGAIN, MOVABLE, VERDICTS
from clinic.roles import grants_now

WRITE = "action_log.write"
OWNERS = ("nurse", "director", "data_manager")
_LEAST_CHARACTERS = 3


def possible_owners(clinic: Clinic) -> list[tuple[Person, str]]:
    """The clinic's people who may carry something out, with their role."""
    standing = Grant.objects.filter(clinic=clinic, role__in=OWNERS, ended_at=None)
    found = {
        grant.person: grant.role_text
        for grant in standing.select_related("person").order_by("person__name", "role")
        if grant in grants_now(grant.person)
    }
    return list(found.items())


def record_decision(
    *, clinic: Clinic, by: Person, decided_on: date, decision: str, owner: Person, measure: str,
    marker: str, review_on: date,
) -> Decision:  # fmt: skip
    require_right(by, WRITE, clinic)
    roles = dict(possible_owners(clinic))
    if owner not in roles:
        raise refuse("owner", "Choose one of the clinic's people.")
    if measure not in MOVABLE:
        raise refuse("measure", f"Choose one of {', '.join(MOVABLE)}.")
    if decided_on > today(clinic):
        raise refuse("decided_on", "A decision is entered once it is made: not after today.")
    if review_on <= decided_on:
        raise refuse("review_on", "The review comes after the decision.")
    for field, text in (("decision", decision), ("marker", marker)):
        require_no_patient(clinic, field, text)
    require_nobody(clinic, marker)
    with transaction.atomic():
        made = Decision.objects.create(
            clinic=clinic, by=by, decided_on=decided_on, decision=decision.strip(), owner=owner,
            owner_role=roles[owner], measure=measure, marker=marker.strip(), review_on=review_on,
            at=now(),
        )  # fmt: skip
        write_event(
            clinic=clinic, by=by, verb="decide", thing="decision", thing_uid=made.uid,
            changes={
                "decided_on": [None, decided_on], "decision": [None, made.decision],
                "owner": [None, owner.name], "measure": [None, measure],
                "marker": [None, made.marker], "review_on": [None, review_on],
            },
        )  # fmt: skip
    return made


def review_decision(
    *, decision: Decision, by: Person, verdict: str, outcome: str,
    next_review_on: date | None = None, shown: str = "",
) -> DecisionReview:  # fmt: skip
    """`shown`: what was told of before and after, kept beside the outcome."""
    require_right(by, WRITE, decision.clinic)
    if verdict not in VERDICTS:
        raise refuse("verdict", f"Choose one of {', '.join(VERDICTS)}.")
    require_no_patient(decision.clinic, "outcome", outcome)
    again = _next_review(decision, verdict, next_review_on)
    with transaction.atomic():
        Decision.objects.select_for_update().get(pk=decision.pk)
        last = decision.reviews.last()
        if last is not None and last.verdict != LOOK_AGAIN:
            raise refuse("", "This decision was settled meanwhile: nothing was saved.")
        made = DecisionReview.objects.create(
            decision=decision, by=by, verdict=verdict, outcome=outcome.strip(), shown=shown,
            next_review_on=again, at=now(),
        )  # fmt: skip
        write_event(
            clinic=decision.clinic, by=by, verb="review", thing="decision",
            thing_uid=decision.uid,
            changes={
                "verdict": [None, verdict], "outcome": [None, made.outcome],
                "next_review_on": [None, again],
            },
        )  # fmt: skip
    return made


def _next_review(decision: Decision, verdict: str, next_review_on: date | None) -> date | None:
    if verdict != LOOK_AGAIN:
        return None
    if next_review_on is None or next_review_on <= today(decision.clinic):
        raise refuse("next_review_on", "Say on which later day to look again.")
    return next_review_on


def require_no_patient(clinic: Clinic, field: str, text: str) -> None:
    """These texts are printed in reports: no record number may stand in them."""
    if visible_characters(text) < _LEAST_CHARACTERS:
        raise refuse(field, "Say it in a few words.")
    words = re.findall(r"[\w./-]*\d[\w./-]*", text)
    tried = {word.strip("./-") for word in words if not word.strip("./-").isdigit()}
    tried |= {word for word in words if word.isdigit() and len(word) > 4}  # a year, a dose: not one
    named = Patient.objects.filter(clinic=clinic, number__in=tried).first()
    if named is not None:
        raise refuse(field, f"{named.number} is a patient: this text is printed, so no patients.")


def require_nobody(clinic: Clinic, marker: str) -> None:
    """A mark on a chart says what changed, never who."""
    words = set(re.findall(r"\w+", marker.casefold()))
    for person, _ in possible_owners(clinic):
        if words & {part for part in person.name.casefold().split() if part not in _TITLES}:
            raise refuse("marker", "Say what changed, never who: this names a person.")


# Words of a name that say what a person does, not who it is.
_TITLES = frozenset(["nurse", "director", "data", "manager", "doctor", "dr"])
