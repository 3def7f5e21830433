"""Work on a signal: say that it is seen, look into it step by step, close it with a conclusion."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_POST

from clinic.actions.refusals import Refused
from clinic.actions.signal_work import add_note, close_signal, enter_step, take_up
from clinic.models import SignalWork
from clinic.signal_work import NEW, Step, Worked
from clinic.views.access import require
from clinic.views.plain_form import plain_form
from reports.watch.forms import CloseForm, NoteForm, StepForm
from reports.watch.lines import line_name
from reports.watch.page import head_cells, signal_address
from reports.watch.sight import WORK, Watched
from reports.watch.standing import Signal
from reports.watch.views import opened

_METHODS = ("GET", "HEAD", "POST")


def _to_work(
    request: HttpRequest, clinic_uid: UUID, key: tuple[str, str, str]
) -> tuple[Watched, Signal]:
    require(request, WORK)
    seen, found = opened(request, clinic_uid, *key)
    require(request, WORK, seen.clinic)
    return seen, found


def _taken_up(request: HttpRequest, seen: Watched, found: Signal, verb: str) -> SignalWork:
    return take_up(clinic=seen.clinic, by=request.user, verb=verb, **found.stored)


@require_POST
def seen_by(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str
) -> HttpResponse:
    """One button: somebody has looked."""
    seen, found = _to_work(request, clinic_uid, (rule, band, raised))
    _taken_up(request, seen, found, "seen")
    messages.success(request, "Kept: you have seen it. It stays open until somebody closes it.")
    return redirect(signal_address(seen, found))


@require_POST
def investigate(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str
) -> HttpResponse:
    """One button: the checklist begins."""
    seen, found = _to_work(request, clinic_uid, (rule, band, raised))
    _taken_up(request, seen, found, "investigate")
    messages.success(request, "The checklist is open: give each step an owner and a day.")
    return redirect(f"{signal_address(seen, found)}#work")


@require_http_methods(_METHODS)
def step(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str, name: str
) -> HttpResponse:
    seen, found = _to_work(request, clinic_uid, (rule, band, raised))
    asked = _step(found.worked, name)
    form = StepForm(seen.clinic, asked, request.POST or None)
    return _page(
        request, seen, found, form, asked.name, "Keep this step",
        lambda work: enter_step(work=work, by=request.user, step=name, **form.values),
    )  # fmt: skip


def _step(worked: Worked | None, name: str) -> Step:
    found = next((one for one in worked.steps if one.key == name), None) if worked else None
    if found is None:
        raise Http404
    return found


@require_http_methods(_METHODS)
def note(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str
) -> HttpResponse:  # fmt: skip
    seen, found = _to_work(request, clinic_uid, (rule, band, raised))
    form = NoteForm(request.POST or None)
    return _page(
        request, seen, found, form, "What was found or agreed?", "Keep the note",
        lambda work: add_note(work=work, by=request.user, **form.cleaned_data),
    )  # fmt: skip


@require_http_methods(_METHODS)
def close(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str
) -> HttpResponse:  # fmt: skip
    seen, found = _to_work(request, clinic_uid, (rule, band, raised))
    form = CloseForm(request.POST or None)
    return _page(
        request, seen, found, form, "What is the conclusion?", "Close the signal",
        lambda work: close_signal(work=work, by=request.user, **form.cleaned_data),
    )  # fmt: skip


def _page(
    request: HttpRequest, seen: Watched, found: Signal, form: forms.Form, heading: str,
    button: str, write: Callable[[SignalWork], Any],
) -> HttpResponse:  # fmt: skip
    """A form page; who writes about a signal has seen it."""
    if request.method == "POST" and form.is_valid():
        try:
            is_new = found.state == NEW
            work = _taken_up(request, seen, found, "seen") if is_new else _work(found)
            write(work)
            messages.success(request, "Kept with the signal.")
            return redirect(f"{signal_address(seen, found)}#work")
        except Refused as refused:
            form.add_refusal(refused)
    return plain_form(
        request, form, heading=heading, button=button, back=signal_address(seen, found),
        lead=f"{line_name(found.rule, found.band)}: {found.sentence}",
        page_name="Watch", clinic=seen.clinic, head_cells=head_cells(seen),
    )  # fmt: skip


def _work(found: Signal) -> SignalWork:
    assert found.worked is not None  # every state but `new` has its work
    return found.worked.work
