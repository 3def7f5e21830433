"""Addresses of the reports pages."""

from django.urls import path, register_converter

from reports.dashboard.views import quarter, repeat_patients, section_numbers
from reports.measures_export import measures_export
from reports.rate_report.period_text import (
    EndingConverter,
    PeriodConverter,
    QuarterConverter,
)
from reports.recount.views import recount
from reports.report_page.deciding import prepare, send_back, sign
from reports.report_page.downloads import report_file
from reports.report_page.views import report, report_version
from reports.rules_page.views import rules

register_converter(PeriodConverter, "period")
register_converter(QuarterConverter, "quarter")
register_converter(EndingConverter, "ending")

_CLINIC = "clinic/<uuid:clinic_uid>"
_VERSION = f"{_CLINIC}/report/<uuid:snapshot_uid>"

urlpatterns = [
    path(f"{_CLINIC}/quarter/", quarter, name="quarter"),
    path(f"{_CLINIC}/quarter/<quarter:period>/", quarter, name="quarter"),
    path(
        f"{_CLINIC}/quarter/<quarter:period>/<slug:section>.csv",
        section_numbers,
        name="section_numbers",
    ),
    path(f"{_CLINIC}/quarter/<quarter:period>/patients/", repeat_patients, name="repeat_patients"),
    path(f"{_CLINIC}/quarter/<quarter:period>/rules/", rules, name="rules"),
    path(f"{_CLINIC}/measures.csv", measures_export, {"ending": "csv"}, name="measures_csv"),
    path(f"{_CLINIC}/measures.json", measures_export, {"ending": "json"}, name="measures_json"),
    path(f"{_CLINIC}/report/", report, name="report"),
    path(f"{_CLINIC}/report/prepare/<quarter:quarter>/", prepare, name="prepare"),
    path(f"{_VERSION}/", report_version, name="report_version"),
    path(f"{_VERSION}/return/", send_back, name="return"),
    path(f"{_VERSION}/sign/", sign, name="sign"),
    path(
        f"{_VERSION}/<slug:what>-<period:period>.<ending:ending>", report_file, name="report_file"
    ),
    path(
        f"{_CLINIC}/recount/<uuid:snapshot_uid>/<period:period>/<slug:measure>/",
        recount,
        name="recount",
    ),
]
