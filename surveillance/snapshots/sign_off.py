"""A quarter's way: prepared by one person, returned or signed by another, superseded by the next.

Each step is one transaction with its audit event; the clinic's writes wait meanwhile, so that the
frozen figures hold all of a load or nothing of it.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils import timezone

from clinic.actions.audit import held_data_version, write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_reason, require_right
from clinic.clock import now, today
from clinic.shards import Clinic, Person
from clinic.written_by import episodes_written_by
from surveillance.models import Snapshot
from surveillance.periods import parse_period
from surveillance.snapshots.drafts import compute_draft
from surveillance.snapshots.read import table_rows
from surveillance.snapshots.refusals import (
    AlreadyPrepared,
    NewerFigures,
    NotEnded,
    NotPrepared,
    SamePerson,
)
from surveillance.snapshots.restatement import CAUSES, unknown_causes

RULE_SET = "rule_2022"  # the rule set that quarters are signed by
_PATTERN = "a quarter is written 2025-Q3"


def _frozen(clinic: Clinic, quarter: str) -> QuerySet[Snapshot]:
    found = Snapshot.objects.filter(clinic=clinic, through=quarter).exclude(state="draft")
    return found.select_related("clinic", "prepared_by").order_by("-id")


def _require_ended(clinic: Clinic, quarter: str) -> None:
    try:
        period = parse_period(quarter)
    except ValueError as error:
        raise refuse("quarter", str(error)) from error
    if period.kind != "quarter":
        raise refuse("quarter", f"{quarter!r} is not a quarter; {_PATTERN}")
    if period.last_day > today(clinic):
        last_day = period.last_day
        raise NotEnded(f"{quarter} ends {last_day.day} {last_day:%b %Y}")


@transaction.atomic
def prepare_quarter(
    *, clinic: Clinic, quarter: str, by: Person, reason: str = "", causes: Sequence[str] = ()
) -> Snapshot:
    """Compute the figures up to the quarter's end and freeze them; over a signed version with
    causes and a reason (a restatement)."""
    restates = _frozen(clinic, quarter).filter(state="signed").exists()
    capability = "quarter.prepare_restatement" if restates else "quarter.prepare"
    require_right(by, capability, clinic)
    _require_ended(clinic, quarter)
    if restates:
        require_reason(reason)
        _require_causes(causes)
    number = held_data_version(clinic)
    newest = _frozen(clinic, quarter).first()  # as it is, now that nobody else may add one
    _refuse_if_same(newest, number)
    snapshot = compute_draft(clinic=clinic, through=quarter, rule_set=RULE_SET, as_of=today(clinic))
    _refuse_if_same(newest, number, snapshot.digest)
    event = write_event(
        clinic=clinic, by=by, verb="prepare", thing="quarter", thing_uid=snapshot.uid,
        changes={
            "quarter": [None, quarter], "digest": [None, snapshot.digest], "causes": list(causes),
        },
        reason=reason,
    )  # fmt: skip
    snapshot.data_version = event.number  # unlike any other: the freeze itself took this number
    snapshot.state, snapshot.prepared_reason = "prepared", reason.strip()[:400]
    snapshot.prepared_by, snapshot.prepared_at = by, now()
    snapshot.save()
    return snapshot


def _require_causes(causes: Sequence[str]) -> None:
    if not causes or unknown_causes(causes):
        raise refuse("causes", f"Say what caused the change: {', '.join(CAUSES)}.")


def _refuse_if_same(newest: Snapshot | None, number: int, digest: str = "") -> None:
    """Two people who press in the same second freeze once."""
    if newest is None or newest.state != "prepared":
        return
    nothing_since = newest.data_version == number and newest.as_of == today(newest.clinic)
    if nothing_since or newest.digest == digest:
        raise AlreadyPrepared(
            f"{newest.through} was prepared by {newest.prepared_by.name} {_ago(newest)}"
        )


def _ago(snapshot: Snapshot) -> str:
    seconds = (now() - snapshot.prepared_at).total_seconds()
    if seconds < 300:
        return "just now"
    moment = timezone.localtime(snapshot.prepared_at, snapshot.clinic.zone)
    return f"on {moment.day} {moment:%b %Y at %H:%M}, with the same figures"


def _newest_prepared(snapshot: Snapshot) -> Snapshot:
    """The version as it stands now, held; refused unless it is the newest and waits."""
    held_data_version(snapshot.clinic)
    versions = _frozen(snapshot.clinic, snapshot.through)
    newest = versions.first()
    if newest is None or newest.pk != snapshot.pk:
        raise NewerFigures("Newer figures exist: read them first.")
    if newest.state != "prepared":
        raise NotPrepared(f"{newest.through} is {newest.state} already.")
    return newest


@transaction.atomic
def return_quarter(*, snapshot: Snapshot, by: Person, reason: str) -> Snapshot:
    """Send the newest prepared version back; it stays, marked returned."""
    require_right(by, "quarter.return", snapshot)
    require_reason(reason)
    returned = _newest_prepared(snapshot)
    returned.state, returned.returned_reason = "returned", reason.strip()[:400]
    returned.returned_by, returned.returned_at = by, now()
    returned.save()
    _tell(returned, by, "return", reason)
    return returned


@transaction.atomic
def sign_quarter(*, snapshot: Snapshot, by: Person, digest: str) -> Snapshot:
    """Sign the newest prepared version by the digest of the figures that were read."""
    restates = _frozen(snapshot.clinic, snapshot.through).filter(state="signed").exists()
    require_right(by, "quarter.sign_restatement" if restates else "quarter.sign_off", snapshot)
    signed = _newest_prepared(snapshot)
    if digest != signed.digest:
        raise NewerFigures("Newer figures exist: read them first.")
    if signed.prepared_by_id == by.pk:
        raise SamePerson("Prepared by you; another director signs.")
    versions = _frozen(signed.clinic, signed.through)
    versions.filter(state="signed").update(state="superseded")
    signed.version = (versions.aggregate(last=Max("version"))["last"] or 0) + 1
    signed.state, signed.signed_by, signed.signed_at = "signed", by, now()
    signed.save()
    _tell(signed, by, "sign", signer_amended=_amended(signed, by))
    return signed


def _amended(snapshot: Snapshot, by: Person) -> list[int]:
    """Of the quarter's episodes, how many the signer wrote: said in the report, no bar to sign."""
    rows = table_rows(snapshot, "cases", snapshot.through)
    episodes = {(row["patient"], row["episode"]) for row in rows if row["kind"] == "peritonitis"}
    return [len(episodes_written_by(by, snapshot.clinic, episodes)), len(episodes)]


def _tell(snapshot: Snapshot, by: Person, verb: str, reason: str = "", **more: object) -> None:
    write_event(
        clinic=snapshot.clinic, by=by, verb=verb, thing="quarter", thing_uid=snapshot.uid,
        changes={
            "quarter": [None, snapshot.through],
            "version": [None, snapshot.version],
            "digest": [None, snapshot.digest],
            **more,
        },
        reason=reason.strip(),
    )  # fmt: skip
