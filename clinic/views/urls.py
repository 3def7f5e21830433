"""Addresses of the record's pages."""

from django.urls import path, register_converter

from clinic.views import account, call, gaps, patients
from clinic.views.add import add
from clinic.views.amend import amend
from clinic.views.converters import (
    EpisodeConverter,
    EpisodeStepConverter,
    PartConverter,
    SubjectConverter,
)
from clinic.views.decisions import new_decision
from clinic.views.dissent import dissent
from clinic.views.episode_part import episode_part
from clinic.views.local_text import local_text
from clinic.views.restore import restore
from clinic.views.second_judgement import ask_second, give_second

register_converter(SubjectConverter, "subject")
register_converter(PartConverter, "part")
register_converter(EpisodeStepConverter, "step")
register_converter(EpisodeConverter, "episodes")

_CLINIC = "clinic/<uuid:clinic_uid>/"

urlpatterns = [
    path("", account.start, name="start"),
    path("sign-in", account.SignIn.as_view(), name="sign_in"),
    path("sign-out", account.SignOut.as_view(), name="sign_out"),
    path(f"{_CLINIC}text/", local_text, name="local_text"),
    path(f"{_CLINIC}gaps/", gaps.gaps, name="gaps"),
    path(f"{_CLINIC}gaps/name/", gaps.map_name, name="map_name"),
    path(f"{_CLINIC}gaps/<slug:key>/", gaps.settle, name="settle_gap"),
    path(f"{_CLINIC}decisions/new/", new_decision, name="new_decision"),
    path(f"{_CLINIC}call/", call.call, name="call"),
    path(f"{_CLINIC}call/of/<uuid:uid>/", call.new_call, name="new_call"),
    path(f"{_CLINIC}call/<uuid:uid>/", call.open_call_page, name="open_call"),
    path(f"{_CLINIC}call/<uuid:uid>/flags/", call.red_flags, name="red_flags"),
    path(f"{_CLINIC}episodes/<uuid:uid>/dissent/", dissent, name="dissent"),
    path(f"{_CLINIC}episodes/<uuid:uid>/<step:name>/", episode_part, name="episode_part"),
    path(f"{_CLINIC}episodes/<uuid:uid>/ask/", ask_second, name="ask_second"),
    path(f"{_CLINIC}second/<episodes:subject>/<uuid:uid>/", give_second, name="give_second"),
    path(f"{_CLINIC}restore/<episodes:subject>/<uuid:uid>/", restore, name="restore"),
    path(f"{_CLINIC}patients/", patients.patients, name="patients"),
    path(f"{_CLINIC}patients/new/", patients.new_patient, name="new_patient"),
    path(f"{_CLINIC}add/<part:subject>/<uuid:parent_uid>/", add, name="add"),
    path(f"{_CLINIC}amend/<subject:subject>/<uuid:uid>/", amend, name="amend"),
]
