"""The page that every page stands on: landmarks, a way past the top, nothing inline."""

import re
from pathlib import Path

import pytest
from django.template.loader import render_to_string

TEMPLATES = [
    path
    for folder in ("clinic", "surveillance", "reports")
    for path in Path(folder, "templates").rglob("*.html")
]
PAGE = {
    "page_name": "Today",
    "pages": [("Today", "/today", True), ("Patients", "/patients", False)],
    "head_cells": [("Clinic", "Tern Quay"), ("Day", "20 Jan 2026"), ("Rules", "2022")],
    "person_label": "Nurse Bramble",
}


def test_page_has_landmarks_and_a_way_past_the_top():
    html = render_to_string("clinic/base.html", PAGE)
    assert html.index('href="#content"') < html.index("<header>") < html.index('<main id="content"')
    assert html.count("<main") == html.count("<header") == html.count("<footer") == 1
    labels = re.findall(r'<nav [^>]*aria-label="([^"]+)"', html)
    assert len(labels) == len(set(labels)) == 2


def test_current_page_is_told_in_both_navigations():
    html = render_to_string("clinic/base.html", PAGE)
    assert html.count('aria-current="page">Today') == 2


def test_head_cells_beyond_two_stand_in_the_foot_as_well():
    html = render_to_string("clinic/base.html", PAGE)
    assert "Rules: 2022" in html.split("<footer>")[1]
    assert "Clinic: Tern Quay" not in html


@pytest.mark.parametrize("name", ["400.html", "403.html", "403_csrf.html", "404.html", "500.html"])
def test_error_page_stands_without_any_context(name):
    html = render_to_string(name)
    assert "<h1>" in html and 'href="/"' in html
    assert not re.search(r"\b(error|invalid|null|N/A)\b", html.split("<main")[1])


def test_page_not_open_says_who_may():
    assert "This is for: director." in render_to_string(
        "403.html", {"exception": "This is for: director."}
    )


@pytest.mark.parametrize("path", TEMPLATES, ids=str)
def test_no_template_holds_script_or_style(path):
    html = re.sub(r"{[%{#].*?[%}#]}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert not re.search(r"<script|<style|\sstyle=|\son[a-z]+=|javascript:", html)
