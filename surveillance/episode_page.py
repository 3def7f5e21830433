"""What the Episode page shows of one row and of its case."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from clinic.patient_file import episodes_of, organisms_of, row_table, standing
from surveillance.episode_beside import closing, decision, dissents
from surveillance.episode_criteria import met_text, missing, peritonitis_rows, site_row
from surveillance.episode_days import day_by_day
from surveillance.episode_near import near
from surveillance.episode_outcome import outcome_rows, outcome_text
from surveillance.episode_words import at_risk, category, counted, mark, rules_said, title
from surveillance.live import Live
from surveillance.patient_page import index_onset
from surveillance.words import day_text

_NOT_SEEN = "Nothing can be said yet: this episode has no day of onset up to today."


def peritonitis_page(row: Any, now: Live) -> dict[str, Any]:
    episode = episodes_of(row.patient).get(pk=row.pk)
    case = now.case(row.episode, "peritonitis")
    samples = list(episode.samples.all())
    return {
        "row": episode,
        "samples": samples,
        "sample_tables": [row_table("effluent_samples", "Counts and cultures", samples)]
        if samples
        else [],
        "organisms": organisms_of(episode),
        "happened": day_by_day(episode),
        "closing": closing(episode),
        "decision": decision(episode),
        "dissents": dissents(episode),
        "is_suspected": case is not None and case["confirmed"] == "unconfirmed",
        "head_cells": _head(row, case, now, row.episode),
        "title_detail": f"{row.patient.number} {row.episode}",
        "finding": _NOT_SEEN,
        **(_peritonitis_verdict(episode, case, now) if case else {}),
    }


def _peritonitis_verdict(episode: Any, case: dict[str, Any], now: Live) -> dict[str, Any]:
    return {
        **_verdict(case, now),
        "index_address": _index_address(episode, case, "episode"),
        "missing": list(missing(episode, case, now)),
        "criteria": peritonitis_rows(episode, case, now),
        "met": met_text(case),
        "outcomes": outcome_rows(episode, case, now),
        "outcome": outcome_text(episode, case, now),
        "near": near(episode, case, now),
    }


def infection_page(row: Any, now: Live) -> dict[str, Any]:
    """An infection of both sites is two cases: each has its criterion, the first its category."""
    found = [now.case(row.infection, kind) for kind in ("exit_site", "tunnel")]
    cases = [case for case in found if case]
    page = {
        "head_cells": _head(row, cases[0] if cases else None, now, row.infection),
        "title_detail": f"{row.patient.number} {row.infection}",
        "finding": _NOT_SEEN,
    }
    if not cases:
        return page
    verdict = _verdict(cases[0], now)
    verdict["finding"] = " ".join(title(case, index_onset(case, now)) for case in cases)
    return {
        **page,
        **verdict,
        "more_cases": [counted(case, index_onset(case, now)) for case in cases[1:]],
        "index_address": _index_address(row, cases[0], "infection"),
        "criteria": [site_row(row, case) for case in cases],
        "met": "Only the sites named are judged; redness alone never counts.",
        "near": near(row, cases[0], now),
    }


def _verdict(case: dict[str, Any], now: Live) -> dict[str, Any]:
    index_day = index_onset(case, now)
    return {
        "case": case,
        "finding": title(case, index_day),
        "mark": mark(case),
        "category": category(case, index_day),
        "rules": rules_said(case, now),
        "counted": counted(case, index_day),
        "at_risk": at_risk(case),
    }


def _index_address(row: Any, case: dict[str, Any], name: str) -> str:
    """The page of the earlier episode that decided the category."""
    if not case["index_episode"]:
        return ""
    earlier = standing(row.subject.name, row.patient).get(**{name: case["index_episode"]})
    return reverse("episode", args=[row.patient.clinic.uid, earlier.uid])


def _head(row: Any, case: dict[str, Any] | None, now: Live, name: str) -> list[tuple[str, str]]:
    onset_on = case["onset_on"] if case else row.onset_on
    return [
        ("Patient", row.patient.number),
        ("Onset", day_text(onset_on)),
        ("Episode", name),
        ("Clinic", row.patient.clinic.name),
        ("Rules", now.rule_set.title),
        ("As of", day_text(now.as_of)),
    ]
