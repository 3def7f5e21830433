"""The five sentences, each beside its range against its line."""

from __future__ import annotations

from dataclasses import dataclass

from reports.charts.verdict_strip import VerdictStrip, verdict_strip
from reports.rate_report.period_text import quarter_of, year_text
from reports.rate_report.sentences import Sentence


@dataclass(frozen=True)
class Answer:
    """One sentence beside its drawn verdict."""

    sentence: Sentence
    strip: VerdictStrip | None


def answers(sentences: list[Sentence]) -> list[Answer]:
    return [Answer(one, _strip(one)) for one in sentences]


def _strip(sentence: Sentence) -> VerdictStrip | None:
    """A change is drawn as its ratio against 1: what the year before was."""
    row, ratio = sentence.row, sentence.ratio
    if row is None:
        return None
    if ratio is None:
        return None if sentence.before is not None else verdict_strip(row)
    if ratio["value"] is None or ratio["upper"] is None or sentence.before is None:
        return None
    label = f"as in {year_text(quarter_of(sentence.before['period'])).removeprefix('the ')}"
    limits = {name: ratio[name] for name in ("value", "lower", "upper")}
    return verdict_strip(row | limits, 1.0, label)
