"""The sections of a quarter are drawn once for each kind of reader and kept with the snapshot."""

from __future__ import annotations

import zlib
from dataclasses import replace

from django.urls import reverse

from reports.dashboard import drawn
from reports.dashboard.drawn import FIRST_READER, draw_latest, drawn_sections
from reports.dashboard.material import Material
from reports.models import DrawnPage
from reports.rate_report.figures import Figures
from tests.reports.stored import QUARTER


def material(snapshot, sight=FIRST_READER) -> Material:
    return Material(Figures(snapshot), QUARTER, sight)


def test_a_second_look_reads_what_the_first_drew(draft, monkeypatch) -> None:
    first = drawn_sections(material(draft))
    monkeypatch.setattr(drawn, "SECTIONS", ())

    assert drawn_sections(material(draft)) == first
    assert DrawnPage.objects.count() == 1


def test_another_kind_of_reader_has_a_page_of_their_own(draft) -> None:
    first = drawn_sections(material(draft))
    other = drawn_sections(material(draft, replace(FIRST_READER, sees_trainers=False)))

    assert "Cohort A" in first and "Cohort A" not in other
    assert DrawnPage.objects.count() == 2


def test_newer_drawing_code_draws_anew(draft, monkeypatch) -> None:
    drawn_sections(material(draft))
    monkeypatch.setattr(drawn, "_code", lambda: "newer")
    drawn_sections(material(draft))

    assert DrawnPage.objects.count() == 2


def test_the_latest_quarter_is_drawn_with_the_snapshot(draft, director, signed_in) -> None:
    draw_latest(draft)
    kept = zlib.decompress(DrawnPage.objects.get().content).decode()

    shown = signed_in(director).get(reverse("quarter", args=[draft.clinic.uid])).content.decode()
    assert kept in shown
    assert DrawnPage.objects.count() == 1


def test_pictures_go_with_their_draft(draft) -> None:
    draw_latest(draft)
    draft.delete()

    assert not DrawnPage.objects.exists()


def test_a_grant_that_ended_is_seen_by_the_next_request(draft, director, signed_in) -> None:
    """Grants are read once in a request, never kept for the next."""
    client = signed_in(director)
    address = reverse("quarter", args=[draft.clinic.uid, QUARTER])
    assert client.get(address).status_code == 200

    director.grants.update(last_day="2025-01-01")
    assert client.get(address).status_code in (403, 404)
