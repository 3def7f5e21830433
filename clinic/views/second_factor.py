"""The second step of signing in: a code, or setting up the telephone that makes them."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods

from clinic.actions.audit import write_event
from clinic.actions.second_factor import (
    HELD,
    TRIES,
    begin_second_factor,
    code_fits,
    confirm_second_factor,
    has_second_factor,
)
from clinic.actions.sessions import mark_second_factor
from clinic.models import SecondFactor
from clinic.one_time_codes import address_for_telephone


class CodeForm(forms.Form):
    use_required_attribute = False
    code = forms.CharField(
        label="Six digits",
        max_length=12,
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "inputmode": "numeric", "class": "number"}
        ),
        error_messages={"required": "Write the six digits."},
    )


@require_http_methods(["GET", "HEAD", "POST"])
def second_factor(request: HttpRequest) -> HttpResponse:
    if not has_second_factor(request.user):
        return redirect(f"{reverse('set_up_second_factor')}?{request.GET.urlencode()}")
    form = CodeForm(request.POST or None)
    if form.is_valid():
        if code_fits(request.user, form.cleaned_data["code"]):
            return _let_in(request)
        _say_wrong(request, form)
    return _page(request, "clinic/pages/second_factor.html", form)


@require_http_methods(["GET", "HEAD", "POST"])
def set_up_second_factor(request: HttpRequest) -> HttpResponse:
    """Only for who has none: another telephone needs a new link from the administrator."""
    if has_second_factor(request.user):
        return redirect("second_factor")
    factor = begin_second_factor(request.user)
    form = CodeForm(request.POST or None)
    if form.is_valid():
        if confirm_second_factor(person=request.user, code=form.cleaned_data["code"]):
            messages.success(request, "Your telephone is set up. It is asked at each sign-in.")
            return _let_in(request)
        _say_wrong(request, form)
    return _page(request, "clinic/pages/set_up_second_factor.html", form, **_secret(factor))


def _secret(factor: SecondFactor) -> dict[str, Any]:
    text = factor.secret
    groups = [text[start : start + 4] for start in range(0, len(text), 4)]
    address = address_for_telephone(text, factor.person.username)
    return {"groups": groups, "address": address}


def _let_in(request: HttpRequest) -> HttpResponse:
    mark_second_factor(request.open_session)
    wanted = request.GET.get("next", "")
    here = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, request.is_secure())
    return redirect(wanted if here else "start")


def _say_wrong(request: HttpRequest, form: CodeForm) -> None:
    """One sentence for a wrong code, a used one and too many."""
    minutes = round(HELD.total_seconds() / 60)
    form.add_error(
        "code",
        f"This code does not fit. Wait for the next one; after {TRIES} wrong ones none is taken "
        f"for {minutes} minutes.",
    )
    write_event(
        clinic=None, by=request.user, verb="fail", thing="second factor",
        thing_uid=request.user.uid, changes={"source": request.META.get("REMOTE_ADDR", "")},
    )  # fmt: skip


def _page(request: HttpRequest, template: str, form: CodeForm, **told: Any) -> HttpResponse:
    """Without the top line: nothing is open yet."""
    context = {"form": form, "pages": [], "page_name": "Sign in", **told}
    return render(request, template, context, status=422 if form.errors else 200)
