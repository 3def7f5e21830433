"""Addresses of the API: three routes for every subject that the record can write."""

from django.urls import path, re_path

from clinic.actions.rights import RIGHTS
from clinic.api.base import Nowhere
from clinic.api.clinics import Account, Clinics, Document, OneClinic
from clinic.api.subjects import views_of

_CLINIC = "clinics/<uuid:clinic_uid>/"

urlpatterns = [
    path("schema/", Document.as_view(), name="api_schema"),
    path("account/", Account.as_view(), name="api_account"),
    path("clinics/", Clinics.as_view(), name="api_clinics"),
    path(_CLINIC, OneClinic.as_view(), name="api_clinic"),
]
for _subject in RIGHTS:
    _rows, _row, _withdrawal = views_of(_subject)
    _one = f"{_CLINIC}{_subject}/<uuid:uid>/"
    urlpatterns += [
        path(f"{_CLINIC}{_subject}/", _rows.as_view(), name=f"api_{_subject}"),
        path(_one, _row.as_view(), name=f"api_{_subject}_row"),
        path(f"{_one}withdraw/", _withdrawal.as_view(), name=f"api_{_subject}_withdraw"),
    ]
urlpatterns.append(re_path("", Nowhere.as_view()))
