"""The audit trail's only writer: one event a change, chained, in the change's own transaction."""

from __future__ import annotations

import getpass
import hashlib
import json
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.core.serializers.json import DjangoJSONEncoder
from django.db import transaction

from clinic.clock import now
from clinic.models import AuditChain, AuditEvent, Clinic, Person


@dataclass(frozen=True)
class Actor:
    """Who acts: a person, the host's user on the command line, or the schedule."""

    name: str
    person: Person | None = None


def host_actor() -> Actor:
    return Actor(name=f"host ({getpass.getuser()})")


SCHEDULE = Actor(name="schedule")


def actor_of(by: Actor | Person) -> Actor:
    return by if isinstance(by, Actor) else Actor(name=by.name, person=by)


def _digest(previous: str, event: AuditEvent) -> str:
    """SHA-256 over the digest before and everything the event says."""
    said = [
        previous, event.chain_id, event.number, event.at.isoformat(), event.by_id, event.actor,
        event.verb, event.thing, event.thing_uid, event.patient_uid, event.changes, event.reason,
    ]  # fmt: skip
    text = json.dumps(said, cls=DjangoJSONEncoder, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _locked_chain(clinic: Clinic | None) -> AuditChain:
    """The chain's head, held until the transaction ends, so that numbers have no gap."""
    AuditChain.objects.get_or_create(clinic=clinic)
    return AuditChain.objects.select_for_update().get(clinic=clinic)


def write_event(
    *,
    clinic: Clinic | None,
    by: Actor | Person,
    verb: str,
    thing: str = "",
    thing_uid: UUID | None = None,
    patient_uid: UUID | None = None,
    changes: dict[str, Any] | None = None,
    reason: str = "",
) -> AuditEvent:
    """Append one event to the clinic's chain (or, with no clinic, to the house's)."""
    actor = actor_of(by)
    with transaction.atomic():
        chain = _locked_chain(clinic)
        event = AuditEvent(
            chain=chain, number=chain.number + 1, at=now(), by=actor.person,
            actor=actor.name, verb=verb, thing=thing, thing_uid=thing_uid,
            patient_uid=patient_uid, reason=reason,
            # As the database will give it back, so that the digest can be checked later.
            changes=json.loads(json.dumps(changes or {}, cls=DjangoJSONEncoder)),
        )  # fmt: skip
        event.digest = _digest(chain.digest, event)
        event.save()
        chain.number, chain.digest = event.number, event.digest
        chain.save(update_fields=["number", "digest"])
    return event


def data_version(clinic: Clinic) -> int:
    """The clinic's last audit number: a computation of the same number needs no second run."""
    chain = AuditChain.objects.filter(clinic=clinic).first()
    return chain.number if chain else 0


def held_data_version(clinic: Clinic) -> int:
    """The same, after any write under way and with none further until this transaction ends:
    every write of the clinic has to take the next number."""
    return _locked_chain(clinic).number


def event_about(verb: str, thing_uid: UUID) -> AuditEvent | None:
    """The one event of a verb about a thing, the latest if there are several."""
    events = AuditEvent.objects.filter(verb=verb, thing_uid=thing_uid)
    return events.order_by("number").last()


def hold_house() -> None:
    """Accounts and grants change one after the other: what was counted stays so until the end."""
    _locked_chain(None)


def first_broken_event(chain: AuditChain) -> AuditEvent | None:
    """The first event whose digest does not follow from the one before; none if all hold."""
    previous = ""
    for expected, event in enumerate(chain.events.order_by("number").iterator(), start=1):
        if event.number != expected or event.digest != _digest(previous, event):
            return event
        previous = event.digest
    return None
