"""The page behind a one-time link: the person chooses a password, then signs in."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from clinic.actions.passwords import link_of_secret, use_link
from clinic.forms.account_forms import NewPassword
from clinic.views.plain_form import plain_form


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def choose_password(request: HttpRequest, secret: str) -> HttpResponse:
    """A link that was used, ran out or never was is like none at all."""
    link = link_of_secret(secret)
    if link is None:
        raise Http404
    form = NewPassword(link.person, data=request.POST or None)
    if form.is_valid() and use_link(secret=secret, password=form.cleaned_data["new_password"]):
        messages.success(request, f"Saved. Sign in as {link.person.username}.")
        return redirect("sign_in")
    return plain_form(
        request, form, heading=f"Welcome, {link.person.name}.", button="Save it", back="sign_in",
        lead=f"Choose the password with which {link.person.username} signs in.",
        page_name="Sign in",
    )  # fmt: skip
