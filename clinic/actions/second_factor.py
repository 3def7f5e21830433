"""The second factor: who needs one, setting it up, and whether a code fits."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from clinic.actions.audit import write_event
from clinic.actions.demonstration import in_demonstration
from clinic.models import Person, SecondFactor
from clinic.one_time_codes import fitting_step, new_secret

# common practice, no source
TRIES = 5
HELD = timedelta(minutes=15)


def is_off() -> bool:
    """In a demonstration, and nowhere else."""
    return in_demonstration()


def needs_second_factor(person: Person) -> bool:
    """Everybody but who holds nurse's grants alone, where the installation says so."""
    if is_off():
        return False
    roles = set(person.grants.filter(ended_at=None).values_list("role", flat=True))
    return settings.SECOND_FACTOR_NURSE or not roles or roles != {"nurse"}


def has_second_factor(person: Person) -> bool:
    return SecondFactor.objects.filter(person=person, confirmed_at__isnull=False).exists()


def can_sign_in(person: Person) -> bool:
    return person.has_usable_password() and (is_off() or has_second_factor(person))


def begin_second_factor(person: Person) -> SecondFactor:
    """A secret waiting for its first code; an unfinished one is shown again."""
    factor, _ = SecondFactor.objects.get_or_create(person=person, defaults={"secret": new_secret()})
    return factor


def confirm_second_factor(*, person: Person, code: str) -> bool:
    """The first code proves that the telephone holds the secret."""
    with transaction.atomic():
        fits = code_fits(person, code, confirmed=False)
        if fits:
            SecondFactor.objects.filter(person=person).update(confirmed_at=timezone.now())
            write_event(
                clinic=None, by=person, verb="set up", thing="second factor", thing_uid=person.uid
            )
    return fits


def code_fits(person: Person, code: str, *, confirmed: bool = True) -> bool:
    """Whether this is a code of the person's telephone that was not used before."""
    with transaction.atomic():
        waiting = SecondFactor.objects.select_for_update().filter(
            person=person, confirmed_at__isnull=not confirmed
        )
        factor = waiting.first()
        if factor is None or is_held(factor):
            return False
        step = fitting_step(factor.secret, code, timezone.now(), factor.last_step)
        _keep(factor, step)
    return step is not None


def is_held(factor: SecondFactor) -> bool:
    """After some wrong codes none is looked at for a while: a million are quickly tried."""
    at = factor.last_wrong_at
    return factor.wrong_tries >= TRIES and at is not None and timezone.now() - at < HELD


def _keep(factor: SecondFactor, step: int | None) -> None:
    if step is not None:
        factor.last_step, factor.wrong_tries = step, 0
    else:
        held = factor.wrong_tries >= TRIES  # and the while is over
        factor.wrong_tries = 1 if held else factor.wrong_tries + 1
        factor.last_wrong_at = timezone.now()
    factor.save()


def forget_second_factor(person: Person) -> None:
    """A lost telephone: the next sign-in sets up another."""
    SecondFactor.objects.filter(person=person).delete()
