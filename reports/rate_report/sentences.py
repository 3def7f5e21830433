"""The five sentences of a rolling year, each made of stored measure rows and nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.rate_report.figures import Figures
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
    ratio: Row | None = None  # of the two, an estimate row


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
    note = _sentences(little_time_text(row), chance_text(figures, period))
    return Sentence("Peritonitis", parts, verdict_text(row), note, row)


def _sentences(*texts: str) -> str:
    return " ".join(filter(None, texts))


def chance_text(figures: Figures, period: str) -> str:
    """The stored chance that the true rate meets its target, in natural frequencies."""
    found = figures.estimate(period, "peritonitis_rate_meets_target")
    if found is None or found["value"] is None:
        return ""
    shown = f"{found['value'] * 100:.0f}"
    told = {"0": "under 1", "100": "over 99"}.get(shown, shown)
    return f"Chance of a true rate that meets it: {told} in 100."


def exit_site(figures: Figures, period: str) -> Sentence:
    row = figures.row(period, "exit_site_infection_rate")
    parts = _rate_parts(row, "infection", "infections") if row else ()
    note = _sentences(little_time_text(row), tunnel_text(figures, period))
    return Sentence("Exit site", parts, verdict_text(row), note, row)


def tunnel_text(figures: Figures, period: str) -> str:
    """The tunnel beside the exit site: it has no published target of its own."""
    row = figures.row(period, "tunnel_infection_rate")
    if row is None or not row["denominator"]:
        return ""
    noun = counted_text(row["numerator"], "infection", "infections")
    value = f"{rate_text(row['value'])} per patient-year, {range_text(row)}"
    return f"Tunnel: {noun}, {value}; no published target."


def year_before(period: str) -> str:
    return rolling_year(quarter_shifted(quarter_of(period), -4))


_YEAR_CLOSED = "The year before is in its own report, which is not open to you."


RATIO = "peritonitis_rate_ratio_to_year_before"


def change(figures: Figures, period: str) -> Sentence:
    """The stored ratio to the year before, with its exact range against 1."""
    now = figures.row(period, "peritonitis_rate")
    before = figures.row(year_before(period), "peritonitis_rate")
    ratio = figures.estimate(period, RATIO)
    if now is None or before is None or ratio is None or not before["denominator"]:
        hidden = year_before(period) in figures.closed
        parts = _parts(_YEAR_CLOSED if hidden else "There is no full year before to compare with.")
        return Sentence("Change", parts, "", "", None)
    name = year_text(quarter_of(year_before(period)))
    was = f"In {name} it was ", bold(rate_text(before["value"])), "; "
    if ratio["value"] is None:
        return Sentence("Change", _parts(*was, _NO_RATIO), "", "", now, before)
    low, high = (_ratio_text(ratio[limit]) for limit in ("lower", "upper"))
    parts = _parts(
        *was, "this year’s rate is ", bold(_ratio_text(ratio["value"])),
        f" times that, range {low} to {high}.",
    )  # fmt: skip
    return Sentence("Change", parts, change_verdict(ratio), "", now, before, ratio)


_NO_RATIO = "a ratio to that cannot be told."


def _ratio_text(value: float | None) -> str:
    return "any number" if value is None else rate_text(value, 1.0)


def change_side(ratio: Row | None) -> int:
    """1 higher, -1 lower, 0 where the range of the ratio holds 1 or there is none."""
    if ratio is None or ratio["value"] is None:
        return 0
    upper = ratio["upper"] if ratio["upper"] is not None else float("inf")
    return int(ratio["lower"] > 1) - int(upper < 1)


def change_verdict(ratio: Row) -> str:
    return _CHANGES[change_side(ratio)]


_CHANGES = {
    -1: "Lower than the year before, beyond chance.",
    1: "Higher than the year before, beyond chance.",
    0: "No change that chance could not make.",
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
        return "; every culture is back"
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
