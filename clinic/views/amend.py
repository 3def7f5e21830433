"""A stored row amended; of two people at one row the second sees what the first wrote."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from clinic.actions import writing
from clinic.actions.refusals import Conflict, Refused
from clinic.actions.rights import RIGHTS, fields_open_to
from clinic.forms.amend_form import AmendForm
from clinic.lineage import clinic_of
from clinic.models import RecordRow
from clinic.roles import can
from clinic.views.access import require
from clinic.views.row_page import form_page, row_in_sight, saved


@require_http_methods(["GET", "HEAD", "POST"])
def amend(request: HttpRequest, clinic_uid: UUID, subject: str, uid: UUID) -> HttpResponse:
    rights = RIGHTS[subject]
    require(request, rights.amend)
    row = row_in_sight(request, rights.read, clinic_uid, subject, uid)
    require(request, rights.amend, row)
    form, conflict = _form(request, row), None
    if request.method == "POST" and form.is_valid():
        try:
            return saved(request, _amended(request, form, row))
        except Refused as refused:
            form.add_refusal(refused)
        except Conflict as raised:
            conflict, form = raised, form.beside(raised.row)
    context = {"form": form, "verb": "Amend", "row": row, "conflict": conflict}
    context["may_withdraw"] = can(request.user, rights.withdraw, row)
    return form_page(request, "clinic/pages/row_form.html", row, type(row), context)


def _form(request: HttpRequest, row: RecordRow) -> AmendForm:
    only = fields_open_to(request.user, row)
    return AmendForm(row=row, clinic=clinic_of(row), only=only, data=request.POST or None)


def _amended(request: HttpRequest, form: AmendForm, row: RecordRow) -> RecordRow:
    return writing.amend(
        row, by=request.user, version=form.cleaned_data["version"],
        values=form.typed, reason=form.given_reason,
    )  # fmt: skip
