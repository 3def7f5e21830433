"""Signing in and out, and the page on which each role starts."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_safe

from clinic.actions.audit import Actor, write_event
from clinic.actions.sessions import end_session
from clinic.models import Person
from clinic.roles import can
from clinic.views.top_line import front_pages


class SignInForm(AuthenticationForm):
    """One sentence for a wrong name, a wrong password and a closed account."""

    error_messages = dict.fromkeys(
        ("invalid_login", "inactive"), "Name and password do not fit. Check both and try again."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, hint in (("username", "username"), ("password", "current-password")):
            self.fields[name].widget.attrs |= {"autocomplete": hint, "autofocus": False}


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    template_name = "clinic/pages/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        answer = super().form_valid(form)
        _tell(self.request, "sign in", form.get_user())
        return answer

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        """A name that is no account's is not kept: it may be a password in the wrong field."""
        typed = form.cleaned_data.get("username", "")
        _tell(self.request, "fail", Person.objects.filter(username=typed).first())
        return self.render_to_response(self.get_context_data(form=form), status=422)


class SignOut(LogoutView):
    """Ends the session on the server, not only in the browser."""

    next_page = "sign_in"

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if request.open_session is not None:
            end_session(request.open_session, by=request.user)
        return super().post(request, *args, **kwargs)


def _tell(request: HttpRequest, verb: str, person: Person | None) -> None:
    actor = person if verb == "sign in" else Actor(name="somebody")
    write_event(
        clinic=None, by=actor, verb=verb, thing="sign-in",
        thing_uid=person.uid if person else None,
        changes={"source": request.META.get("REMOTE_ADDR", "")},
    )  # fmt: skip


@login_not_required
def locked_out(
    request: HttpRequest, response: HttpResponse | None = None, credentials: dict | None = None
) -> HttpResponse:
    """Too many wrong tries from one place: the same page whether or not the account exists."""
    minutes = round(settings.AXES_COOLOFF_TIME * 60)
    page = render(request, "clinic/pages/locked_out.html", {"minutes": minutes}, status=429)
    page["Retry-After"] = str(minutes * 60)
    return page


@require_safe
def start(request: HttpRequest) -> HttpResponse:
    """The first page of the person's role; with several clinics, a choice of them."""
    fronts = front_pages(request.user)
    if len(fronts) == 1:
        return redirect(fronts[0].address)
    runs_accounts = can(request.user, "user.list")
    context = {"fronts": fronts, "is_administrator": runs_accounts, "page_name": "Start"}
    return render(request, "clinic/pages/start.html", context)
