"""The five sentences of a rolling year, each made of stored measure rows and nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.rate_report.figures import Figures
from reports.rate_report.findings import change_beyond_chance
from reports.rate_report.number_text import (
    counted_text,
    is_little_time,
    number_word,
    percent_text,
    rate_text,
    whole_text,
    years_text,
)
from reports.rate_report.period_text import quarter_of, quarter_shifted, rolling_year, year_text
from surveillance.words import verdict_text as stored_words

Row = dict[str, Any]
Part = tuple[str, bool]  # a piece of a sentence, and whether it stands out


@dataclass(frozen=True)
class Sentence:
    """One line of the first screen."""

    name: str
    parts: tuple[Part, ...]
    verdict: str
    note: str
    row: Row | None  # the figure that its picture and its recount show
    before: Row | None = None


def _parts(*pieces: str | Part) -> tuple[Part, ...]:
    return tuple((piece, False) if isinstance(piece, str) else piece for piece in pieces)


def bold(text: str) -> Part:
    return (text, True)


def target_text(row: Row) -> str:
    """The target as people say it, with its direction."""
    is_share = row["denominator_unit"] not in ("patient_days",)
    shown = percent_text(row["target"]) if is_share else rate_text(row["target"])
    if row["measure"] == "peritonitis_free_share":
        return f"more than {shown}"
    return f"less than {shown}" if is_share else f"{shown} or less"


def verdict_text(row: Row | None) -> str:
    """The stored verdict in its one sentence, with the target that it is about."""
    if row is None or not row["verdict"]:
        return ""
    words = stored_words(row["verdict"], row["denominator_unit"])
    said = words[0].upper() + words[1:]
    return f"{said}." if row["verdict"] == "no_data" else f"{said}: {target_text(row)}."


def little_time_text(row: Row | None) -> str:
    if row is None or row["denominator_unit"] != "patient_days" or not row["denominator"]:
        return ""
    return "Too little time at risk to say." if is_little_time(row["denominator"]) else ""


def range_text(row: Row) -> str:
    """The range with as many digits as the verdict needs."""
    if row["denominator_unit"] == "patient_days":
        low, high = (rate_text(row[limit], row["target"]) for limit in ("lower", "upper"))
        return f"range {low} to {high}"
    low, high = (percent_text(row[limit], row["target"]) for limit in ("lower", "upper"))
    return f"range {low.removesuffix(' %')} to {high}"


def _rate_parts(row: Row, one: str, many: str) -> tuple[Part, ...]:
    if not row["denominator"]:
        return _parts("Nobody was at risk.")
    years, value = years_text(row["denominator"]), rate_text(row["value"], row["target"])
    noun = one if row["numerator"] == 1 else many
    return _parts(
        bold(whole_text(row["numerator"])), f" {noun} in ", bold(years), " patient-years: ",
        bold(value), f" per patient-year, {range_text(row)}.",
    )  # fmt: skip


def peritonitis(figures: Figures, period: str) -> Sentence:
    row = figures.row(period, "peritonitis_rate")
    parts = _rate_parts(row, "counted episode", "counted episodes") if row else ()
    return Sentence("Peritonitis", parts, verdict_text(row), little_time_text(row), row)


def exit_site(figures: Figures, period: str) -> Sentence:
    row = figures.row(period, "exit_site_infection_rate")
    parts = _rate_parts(row, "infection", "infections") if row else ()
    return Sentence("Exit site", parts, verdict_text(row), little_time_text(row), row)


def year_before(period: str) -> str:
    return rolling_year(quarter_shifted(quarter_of(period), -4))


_YEAR_CLOSED = "The year before is in its own report, which is not open to you."


def change(figures: Figures, period: str) -> Sentence:
    """Both years with their ranges; more is claimed only where the two ranges do not meet."""
    now = figures.row(period, "peritonitis_rate")
    before = figures.row(year_before(period), "peritonitis_rate")
    name = year_text(quarter_of(year_before(period)))
    if now is None or before is None or not (now["denominator"] and before["denominator"]):
        hidden = year_before(period) in figures.closed
        parts = _parts(_YEAR_CLOSED if hidden else "There is no full year before to compare with.")
        return Sentence("Change", parts, "", "", None)
    parts = _parts(
        f"In {name} it was ", bold(rate_text(before["value"])), f", {range_text(before)}; now ",
        bold(rate_text(now["value"], now["target"])), f", {range_text(now)}.",
    )  # fmt: skip
    return Sentence("Change", parts, change_verdict(now, before), _CHANGE_NOTE, now, before)


_CHANGE_NOTE = "Each range is of its own year, not of the change between them."


def change_verdict(now: Row, before: Row) -> str:
    """Ranges that do not meet differ beyond chance; ranges that meet settle nothing."""
    return _CHANGES[change_beyond_chance(now, before)]


_CHANGES = {
    -1: "Lower than the year before, beyond chance: the two ranges do not meet.",
    1: "Higher than the year before, beyond chance: the two ranges do not meet.",
    0: "The two ranges overlap: they do not settle whether the rate changed.",
}


def free(figures: Figures, period: str) -> Sentence:
    row = figures.row(period, "peritonitis_free_share")
    if row is None or not row["denominator"]:
        return Sentence("Free of peritonitis", _parts("Nobody was at risk."), "", "", row)
    parts = _parts(
        bold(whole_text(row["numerator"])), " of ",
        bold(counted_text(row["denominator"], "patient", "patients")), " had no episode: ",
        bold(percent_text(row["value"], row["target"])), f", {range_text(row)}.",
    )  # fmt: skip
    return Sentence("Free of peritonitis", parts, verdict_text(row), "", row)


def _beside_text(row: Row | None) -> str:
    """What was not cultured stands beside what grew nothing."""
    if row is None:
        return ""
    if not row["numerator"]:
        return "; every one was cultured and is back"
    were = "was" if row["numerator"] == 1 else "were"
    return f"; {number_word(row['numerator'])} more {were} not cultured or not back yet"


def culture_negative(figures: Figures, period: str, why: str = "") -> Sentence:
    """`why` says why its second number is not the number of counted episodes."""
    row = figures.row(period, "culture_negative_share")
    if row is None or not row["denominator"]:
        return Sentence("Culture-negative", _parts("No episode to count yet."), "", "", row)
    beside = _beside_text(figures.row(period, "not_cultured_share"))
    parts = _parts(
        bold(whole_text(row["numerator"])), " of ",
        bold(counted_text(row["denominator"], "episode", "episodes")), ", ",
        bold(percent_text(row["value"], row["target"])), f", {range_text(row)}{beside}.",
    )  # fmt: skip
    return Sentence("Culture-negative", parts, verdict_text(row), why, row)


def five_sentences(figures: Figures, period: str, why: str = "") -> list[Sentence]:
    """The first screen of a rolling year."""
    return [
        peritonitis(figures, period),
        change(figures, period),
        free(figures, period),
        exit_site(figures, period),
        culture_negative(figures, period, why),
    ]
