"""Addresses of the reports pages."""

from django.urls import path, register_converter

from clinic.views.today import today
from reports.dashboard.views import chart_picture, quarter, repeat_patients, section_numbers
from reports.measures_export import measures_export
from reports.network_page.views import network
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
from reports.sample.views import sample
from reports.settings_page import views as settings_views
from reports.watch import views as watch_views
from reports.watch import work_views
from reports.watch.unseen import unseen_signals
from surveillance.decision_effect import effects_of

register_converter(PeriodConverter, "period")
register_converter(QuarterConverter, "quarter")
register_converter(EndingConverter, "ending")

_CLINIC = "clinic/<uuid:clinic_uid>"
_SIGNAL = f"{_CLINIC}/watch/<slug:rule>/<slug:band>/<slug:raised>"
_VERSION = f"{_CLINIC}/report/<uuid:snapshot_uid>"

urlpatterns = [
    # A page of the record that also says what the stored figures say.
    path(
        f"{_CLINIC}/today/",
        today,
        {"effects": effects_of, "signals": unseen_signals},
        name="today",
    ),
    path(f"{_CLINIC}/quarter/", quarter, name="quarter"),
    path(f"{_CLINIC}/quarter/<quarter:period>/", quarter, name="quarter"),
    path(
        f"{_CLINIC}/quarter/<quarter:period>/<slug:section>.csv",
        section_numbers,
        name="section_numbers",
    ),
    path(
        f"{_CLINIC}/quarter/<quarter:period>/<slug:chart>.svg",
        chart_picture,
        {"ending": "svg"},
        name="chart_svg",
    ),
    path(
        f"{_CLINIC}/quarter/<quarter:period>/<slug:chart>.png",
        chart_picture,
        {"ending": "png"},
        name="chart_png",
    ),
    path(f"{_CLINIC}/quarter/<quarter:period>/patients/", repeat_patients, name="repeat_patients"),
    path(f"{_CLINIC}/quarter/<quarter:period>/rules/", rules, name="rules"),
    path(f"{_CLINIC}/network/<quarter:period>/", network, name="network"),
    path(f"{_CLINIC}/measures.csv", measures_export, {"ending": "csv"}, name="measures_csv"),
    path(f"{_CLINIC}/measures.json", measures_export, {"ending": "json"}, name="measures_json"),
    path(f"{_CLINIC}/report/", report, name="report"),
    path(f"{_CLINIC}/report/prepare/<quarter:quarter>/", prepare, name="prepare"),
    path(f"{_VERSION}/", report_version, name="report_version"),
    path(f"{_VERSION}/sample/", sample, name="sample"),
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
    path(f"{_CLINIC}/settings/", settings_views.clinic_settings, name="clinic_settings"),
    path(f"{_CLINIC}/settings/phase/", settings_views.agree, name="agree_phase"),
    path(f"{_CLINIC}/settings/phase/<uuid:uid>/", settings_views.withdraw, name="withdraw_phase"),
    path(f"{_CLINIC}/watch/", watch_views.watch, name="watch"),
    path(f"{_CLINIC}/watch/<slug:chart>.csv", watch_views.watch_numbers, name="watch_numbers"),
    path(f"{_CLINIC}/watch/<slug:rule>/", watch_views.signal_rule, name="signal_rule"),
    path(f"{_SIGNAL}/", watch_views.signal, name="signal"),
    path(f"{_SIGNAL}/cases.csv", watch_views.signal_rows, name="signal_lines"),
    path(f"{_SIGNAL}/seen/", work_views.seen_by, name="signal_seen"),
    path(f"{_SIGNAL}/investigate/", work_views.investigate, name="signal_investigate"),
    path(f"{_SIGNAL}/note/", work_views.note, name="signal_note"),
    path(f"{_SIGNAL}/close/", work_views.close, name="signal_close"),
    path(f"{_SIGNAL}/step/<slug:name>/", work_views.step, name="signal_step"),
]
