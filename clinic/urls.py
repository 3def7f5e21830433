"""Addresses: the record's own here, the pages of the later packages by string only."""

from django.urls import include, path

urlpatterns = [
    path("api/", include("clinic.api.urls")),
    path("", include("clinic.views.urls")),
    path("", include("clinic.views.account_urls")),
    path("", include("surveillance.urls")),
    path("", include("reports.urls")),
]

handler404 = "clinic.views.errors.not_found"
