"""A file as an answer: logged before it is sent, never shown in the page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from reports.rate_report.files import ReportFile
from reports.reading_log import log_download
from surveillance.models import Snapshot

_KINDS = {
    "csv": "text/csv; charset=utf-8; header=present",
    "json": "application/json",
    "pdf": "application/pdf",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "zip": "application/zip",
    "svg": "image/svg+xml",
    "png": "image/png",
}


def file_response(
    request: HttpRequest, snapshot: Snapshot, file: ReportFile, how: str = "plain"
) -> HttpResponse:
    """The file with its name and its SHA-256; the event is stored first."""
    source = request.META.get("REMOTE_ADDR", "")
    log_download(snapshot, by=request.user, file=file, how=how, source=source)
    response = HttpResponse(file.content, content_type=_KINDS[file.name.rsplit(".", 1)[-1]])
    response["Content-Disposition"] = f'attachment; filename="{file.name}"'
    response["X-Content-SHA256"] = file.sha256
    return response
