"""Addresses of the surveillance pages."""

from django.urls import path

from surveillance.views import episode, patient
from surveillance.views_computation import computation, compute_now

_CLINIC = "clinic/<uuid:clinic_uid>"

urlpatterns = [
    path(f"{_CLINIC}/patients/<uuid:uid>/", patient, name="patient"),
    path(f"{_CLINIC}/episodes/<uuid:uid>/", episode, name="episode"),
    path(f"{_CLINIC}/compute/", compute_now, name="compute_now"),
    path(f"{_CLINIC}/computation/<uuid:computation_uid>/", computation, name="computation"),
]
