"""What is to be computed, by rows in the database: asked, taken, renewed, finished, swept."""

from __future__ import annotations

import logging
import uuid
from datetime import date, datetime, timedelta

from django.db import OperationalError, transaction
from django.db.models import F, Q
from django.utils import timezone
from kombu.exceptions import KombuError

from clinic.actions.audit import SCHEDULE, Actor, actor_of, data_version, write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_right
from clinic.clock import today
from clinic.roles import can
from clinic.shards import Clinic, Person, standing_clinics
from surveillance.models import Computation, Snapshot
from surveillance.snapshots.announce import snapshot_computed
from surveillance.snapshots.drafts import compute_draft, is_latest_draft

COMPUTE = "compute.draft"  # access.csv
LEASE = timedelta(minutes=2)  # renewed at each step; a step takes seconds
SEND_AGAIN = timedelta(minutes=2)  # a waiting row that no worker took by then
TRIES = 3  # then it fails in words, some eight minutes after the first stop

log = logging.getLogger(__name__)


class LeaseLost(Exception):
    """Another worker holds the computation now: this one stores nothing."""


def ask(
    *,
    clinic: Clinic,
    by: Actor | Person,
    rule_set: str = "rule_2022",
    as_of: date | None = None,
    through: str = "",
) -> Computation:
    """Have the clinic's figures computed; asked twice with nothing changed it is one piece of work.

    The message goes out when the transaction is over. If it cannot, the sweep finds the row.
    """
    require_right(by, COMPUTE, clinic)
    day = today(clinic)
    if as_of is not None and as_of > day:
        raise refuse("as_of", f"{as_of} is after today ({day} at {clinic.name})")
    with transaction.atomic():
        computation, is_new = Computation.objects.get_or_create(
            clinic=clinic, through=through, rule_set=rule_set, as_of=as_of or day,
            data_version=data_version(clinic), defaults=_asker(by),
        )  # fmt: skip
        if is_new or _opened_again(computation, by):
            write_event(
                clinic=None, by=by, verb="ask", thing="computation", thing_uid=computation.uid,
                changes={"clinic": [None, clinic.code]},
            )  # fmt: skip
            transaction.on_commit(lambda: send(computation.uid))
    return computation


def _asker(by: Actor | Person) -> dict[str, object]:
    actor = actor_of(by)
    return {"asked_by": actor.person, "actor": actor.name}


def _opened_again(computation: Computation, by: Actor | Person) -> bool:
    """Failed work is tried anew, and so is done work whose figures are not the latest any more."""
    stale = computation.state == "done" and not is_latest_draft(computation)
    if computation.state != "failed" and not stale:
        return False
    closed = Computation.objects.filter(pk=computation.pk, state=computation.state)
    opened = closed.update(
        state="waiting", tries=0, sentence="", progress="", progress_percent=0, sent_at=None,
        asked_at=timezone.now(), finished_at=None, **_asker(by),
    )  # fmt: skip
    computation.refresh_from_db()
    return bool(opened)


def send(uid: uuid.UUID) -> None:
    """Point a worker at the row; a broker that does not answer loses nothing."""
    from surveillance.tasks import compute

    try:
        compute.apply_async(args=[str(uid)], retry=False)
    except (KombuError, OSError) as error:
        log.warning("computation %s not sent, the sweep will: %s", uid, type(error).__name__)
    else:
        Computation.objects.filter(uid=uid, state="waiting").update(sent_at=timezone.now())


def run(uid: uuid.UUID) -> bool:
    """Do the work if nobody else does or did; says whether this call did it."""
    computation = _take(uid, timezone.now())
    if computation is None:
        return False
    asked_by = computation.asked_by
    if asked_by is not None and not can(asked_by, COMPUTE, computation.clinic):
        _fail(computation, f"{asked_by.name} may not ask for these figures any more.")
        return False
    try:
        _compute(computation)
    except LeaseLost:
        log.warning("computation %s was taken over by another worker", uid)
        return False
    except OperationalError:
        raise  # the machine's fault: the lease runs out and the sweep sends it again
    except Exception as error:
        _fail(computation, f"Could not be computed ({type(error).__name__}). Run it again.")
        raise
    return True


def _take(uid: uuid.UUID, now: datetime) -> Computation | None:
    """Whoever's conditional update changes the row has it."""
    free = Q(state="waiting") | Q(state="running", lease_until__lt=now)
    lease = uuid.uuid4()
    taken = Computation.objects.filter(free, uid=uid).update(
        state="running", lease=lease, lease_until=now + LEASE, tries=F("tries") + 1,
        started_at=now, progress="reading the record", progress_percent=5,
    )  # fmt: skip
    if not taken:
        return None
    return Computation.objects.select_related("clinic", "asked_by").get(uid=uid, lease=lease)


def _compute(computation: Computation) -> None:
    snapshot = compute_draft(
        clinic=computation.clinic,
        through=computation.through,
        rule_set=computation.rule_set,
        as_of=computation.as_of,
        tell=lambda words, percent: _renew(computation, words, percent),
        before_commit=lambda: _finish(computation),
    )
    _announce(snapshot)


def _announce(snapshot: Snapshot) -> None:
    """The figures stand already: what comes after them may fail without failing the work."""
    try:
        snapshot_computed.send(sender=None, snapshot=snapshot)
    except Exception:
        log.exception("snapshot %s is stored, but was not drawn", snapshot.uid)


def _held(computation: Computation) -> dict[str, object]:
    return {"uid": computation.uid, "lease": computation.lease, "state": "running"}


def _renew(computation: Computation, words: str, percent: int) -> None:
    until = timezone.now() + LEASE
    held = Computation.objects.filter(**_held(computation))
    if not held.update(lease_until=until, progress=words, progress_percent=percent):
        raise LeaseLost


def _finish(computation: Computation) -> None:
    """In the transaction that stores the snapshot: both happen or neither."""
    done = Computation.objects.filter(**_held(computation)).update(
        state="done", lease=None, lease_until=None, finished_at=timezone.now(),
        progress="done", progress_percent=100,
    )  # fmt: skip
    if not done:
        raise LeaseLost


def _fail(computation: Computation, sentence: str) -> None:
    Computation.objects.filter(**_held(computation)).update(
        state="failed", lease=None, lease_until=None, finished_at=timezone.now(), sentence=sentence
    )


def sweep() -> int:
    """Send again what a killed worker left or no worker ever took; how many were sent."""
    now = timezone.now()
    expired = Computation.objects.filter(state="running", lease_until__lt=now)
    expired.filter(tries__gte=TRIES).update(
        state="failed", lease=None, lease_until=None, finished_at=now,
        sentence=f"Stopped {TRIES} times before it was done. Run it again.",
    )  # fmt: skip
    late = now - SEND_AGAIN
    unstarted = Q(state="waiting") & (
        Q(sent_at__lt=late) | Q(sent_at=None, asked_at__lt=now - timedelta(seconds=10))
    )
    left = unstarted | Q(state="running", lease_until__lt=now)
    uids = list(Computation.objects.filter(left).values_list("uid", flat=True))
    for uid in uids:
        send(uid)
    return len(uids)


def ask_nightly() -> int:
    """Ask for each clinic whose own day has turned since its figures were last asked for."""
    asked = 0
    for clinic in standing_clinics():
        day = today(clinic)
        if not Computation.objects.filter(clinic=clinic, through="", as_of=day).exists():
            ask(clinic=clinic, by=SCHEDULE, as_of=day)
            asked += 1
    return asked
