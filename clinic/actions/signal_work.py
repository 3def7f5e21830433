"""Work on a signal: seen, looked into, noted, closed with a conclusion; nobody else closes it."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction

from clinic.actions.audit import held_data_version, write_event
from clinic.actions.decisions import possible_owners, require_no_patient
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_right
from clinic.clock import now, today
from clinic.models import Clinic, Person, SignalEntry, SignalWork
from clinic.models.signal_work import CONCLUSIONS, STEPS

WRITE = "signal.work"
_LINE = ("rule", "split", "band", "raised_on")


def take_up(*, clinic: Clinic, by: Person, verb: str = "seen", **signal: Any) -> SignalWork:
    """Say that the signal is seen, or that it is being looked into: `verb` seen or investigate.

    `signal`: rule, measure, split, band, raised_on, window_start, window_end, sentence.
    """
    require_right(by, WRITE, clinic)
    with transaction.atomic():
        held_data_version(clinic)  # two who take it up at once wait for each other
        line = {name: signal[name] for name in _LINE}
        work = SignalWork.objects.filter(clinic=clinic, **line).first()
        if work is None:
            work = SignalWork.objects.create(clinic=clinic, by=by, at=now(), **signal)
        elif work.entries.filter(verb__in=(verb, "close")).exists():
            return work  # said already
        _add(work, by, verb)
    return work


def enter_step(
    *, work: SignalWork, by: Person, step: str, owner: Person | None = None,
    due_on: date | None = None, done_on: date | None = None, says: str = "",
) -> SignalEntry:  # fmt: skip
    """Who does one step until when, what came of it; the latest entry of a step holds."""
    if step not in STEPS:
        raise refuse("step", f"Choose one of {', '.join(STEPS)}.")
    if owner is not None and owner not in dict(possible_owners(work.clinic)):
        raise refuse("owner", "Choose one of the clinic's people.")
    if done_on is not None and done_on > today(work.clinic):
        raise refuse("done_on", "A step is done once it is done: not after today.")
    given = {"step": step, "owner": owner, "due_on": due_on, "done_on": done_on}
    return _write(work, by, "step", says, **given)


def add_note(*, work: SignalWork, by: Person, says: str) -> SignalEntry:
    """Something found or agreed that no step asks for."""
    require_no_patient(work.clinic, "says", says)
    return _write(work, by, "note", says)


def close_signal(*, work: SignalWork, by: Person, conclusion: str, says: str) -> SignalEntry:
    """End the work with a conclusion; the figures do not change by it."""
    if conclusion not in CONCLUSIONS:
        raise refuse("conclusion", f"Choose one of {', '.join(CONCLUSIONS)}.")
    require_no_patient(work.clinic, "says", says)
    return _write(work, by, "close", says, conclusion=conclusion)


def _write(work: SignalWork, by: Person, verb: str, says: str, **given: Any) -> SignalEntry:
    require_right(by, WRITE, work.clinic)
    if says:
        require_no_patient(work.clinic, "says", says)
    with transaction.atomic():
        held_data_version(work.clinic)
        if work.entries.filter(verb="close").exists():
            raise refuse("", "This signal was closed meanwhile: nothing was saved.")
        return _add(work, by, verb, says=says.strip(), **given)


def _add(work: SignalWork, by: Person, verb: str, **given: Any) -> SignalEntry:
    made = SignalEntry.objects.create(work=work, by=by, verb=verb, at=now(), **given)
    owner = given.get("owner")
    said = {name: value for name, value in given.items() if value and name != "owner"}
    said |= {"owner": owner.name} if owner else {}
    write_event(
        clinic=work.clinic, by=by, verb=f"signal {verb}", thing="signal", thing_uid=work.uid,
        changes={name: [None, value] for name, value in said.items()},
    )  # fmt: skip
    return made
