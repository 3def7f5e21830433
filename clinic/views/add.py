"""A new row of any subject that hangs on a patient's record."""

from __future__ import annotations

from functools import partial
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from clinic.actions import writing
from clinic.actions.refusals import Refused
from clinic.actions.rights import RIGHTS, asks_reason
from clinic.actions.submissions import once
from clinic.exit_site import infection_of
from clinic.forms.names import suggested_names
from clinic.forms.record_form import RecordForm
from clinic.lineage import clinic_of
from clinic.models import MODELS, CatheterInfection, RecordRow
from clinic.views.access import require
from clinic.views.row_page import form_page, row_in_sight, saved


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest, clinic_uid: UUID, subject: str, parent_uid: UUID) -> HttpResponse:
    model, rights = MODELS[subject], RIGHTS[subject]
    require(request, rights.record)
    parent = row_in_sight(request, rights.read, clinic_uid, model.subject.parent, parent_uid)
    require(request, rights.record, parent)
    form = _form(request, model, parent, _known_already(request, model, clinic_uid))
    if request.method == "POST" and form.is_valid() and (row := _record(request, form, parent)):
        return saved(request, row)
    context = {"form": form, "verb": "Add"}
    return form_page(request, "clinic/pages/row_form.html", parent, model, context)


def _known_already(
    request: HttpRequest, model: type[RecordRow], clinic_uid: UUID
) -> dict[str, str]:
    """What the exit-site check in the address has answered of an infection."""
    asked = request.GET.get("check", "")
    if model is not CatheterInfection or not asked:
        return {}
    try:
        uid = UUID(asked)
    except ValueError:
        return {}
    return infection_of(row_in_sight(request, "patient.read", clinic_uid, "exit_site_checks", uid))


def _form(
    request: HttpRequest, model: type[RecordRow], parent: RecordRow, known: dict[str, str]
) -> RecordForm:
    return RecordForm(
        subject=model.subject,
        clinic=clinic_of(parent),
        asks_reason=asks_reason(request.user, RIGHTS[model.subject.name].record, parent),
        initial={**suggested_names(model, parent), **known},
        data=request.POST or None,
    )


def _record(request: HttpRequest, form: RecordForm, parent: RecordRow) -> RecordRow | None:
    subject = form.subject.name
    make = partial(
        writing.record, MODELS[subject], parent=parent, by=request.user,
        values=form.values, reason=form.given_reason,
    )  # fmt: skip
    try:
        return once(
            by=request.user, key=form.submission_key, subject=subject,
            sent={"parent": parent.uid, **form.values}, make=lambda uid: make(uid=uid),
        )  # fmt: skip
    except Refused as refused:
        form.add_refusal(refused)
        return None
