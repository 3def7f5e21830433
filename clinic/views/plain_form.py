"""A page that is one form: what it does, its fields, one button, the way back."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

UNPROCESSABLE = 422


def plain_form(
    request: HttpRequest, form: forms.Form, *, heading: str, button: str, back: str,
    lead: str = "", status: int = 0, **context: Any,
) -> HttpResponse:  # fmt: skip
    """`back` is a name of an address, or an address."""
    told = {
        "form": form,
        "heading": heading,
        "lead": lead,
        "button": button,
        "back": back if back.startswith("/") else reverse(back),
    }
    status = status or (UNPROCESSABLE if form.errors else 200)
    return render(request, "clinic/pages/plain_form.html", told | context, status=status)
