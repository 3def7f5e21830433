"""An episode that was withdrawn by mistake comes back, with what went with it."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from clinic.actions import writing
from clinic.actions.refusals import Refused
from clinic.models import MODELS
from clinic.views.access import reader_row, require
from clinic.views.around import home_of
from clinic.views.row_page import form_page, name_of
from clinic.views.withdraw import ReasonForm


@require_http_methods(["GET", "HEAD", "POST"])
def restore(request: HttpRequest, clinic_uid: UUID, subject: str, uid: UUID) -> HttpResponse:
    require(request, "episode.restore")
    rows = MODELS[subject].objects.filter(withdrawn_at__isnull=False)
    row = reader_row(request, "episode.read", clinic_uid, rows, uid)
    require(request, "episode.restore", row)
    form = ReasonForm(data=request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            back = writing.restore(row, by=request.user, **form.cleaned_data)
            messages.success(request, f"{name_of(row)} restored.")
            return redirect(home_of(back))
        except Refused as refused:
            form.add_error(None, str(refused))
    context = {"form": form, "row": row, "name": str(row)}
    return form_page(request, "clinic/pages/restore.html", row, type(row), context)
