"""Addresses of the surveillance pages."""

from django.urls import path

from clinic.views.decisions import decisions, review
from clinic.views.episodes import new_episode
from clinic.views.withdraw import withdraw
from surveillance.decision_effect import effects_of
from surveillance.views import episode, patient
from surveillance.views_computation import computation, compute_now
from surveillance.what_if import preview, withdrawal_effects

_CLINIC = "clinic/<uuid:clinic_uid>"

urlpatterns = [
    path(f"{_CLINIC}/patients/<uuid:uid>/", patient, name="patient"),
    path(f"{_CLINIC}/episodes/<uuid:uid>/", episode, name="episode"),
    # Pages of the record that also say what became of a figure since a decision.
    path(f"{_CLINIC}/decisions/", decisions, {"effects": effects_of}, name="decisions"),
    path(
        f"{_CLINIC}/decisions/<uuid:uid>/",
        review,
        {"effects": effects_of},
        name="review_decision",
    ),
    # Forms of the record that say beforehand what the method would make of it.
    path(
        f"{_CLINIC}/patients/<uuid:uid>/episode/",
        new_episode,
        {"preview": preview},
        name="new_episode",
    ),
    path(
        f"{_CLINIC}/withdraw/<subject:subject>/<uuid:uid>/",
        withdraw,
        {"effects": withdrawal_effects},
        name="withdraw",
    ),
    path(f"{_CLINIC}/compute/", compute_now, name="compute_now"),
    path(f"{_CLINIC}/computation/<uuid:computation_uid>/", computation, name="computation"),
]
