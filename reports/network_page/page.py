"""Clinics of a network beside each other: funnel, standardised ratios, completeness; no ranks."""

from __future__ import annotations

from typing import Any

from reports.addresses import quarter_address
from reports.charts.chart import Chart
from reports.charts.funnel import Point, funnel
from reports.charts.lying_figures import Words, lying_figures
from reports.charts.lying_layout import Axis, Line
from reports.network_page.clinics import Beside
from reports.rate_report.figures import Figures
from reports.rate_report.names import RATE
from reports.rate_report.number_text import DAYS_PER_YEAR, counted_text, number_word, rate_text
from reports.rate_report.period_text import period_text, rolling_year
from surveillance.masking import HIDDEN, small_cells
from surveillance.network_signals import network_signal_rows
from surveillance.signals.alarm import stands_out

Row = dict[str, Any]
LIMITS = ("funnel_low", "funnel_warning_low", "funnel_warning", "funnel")
RATIO = "standardised_ratio"


class Compared:
    """The signal rows of a network's year, by clinic, and which clinics may be shown."""

    def __init__(self, found: Beside, quarter: str) -> None:
        self.found, self.quarter, self.year = found, quarter, rolling_year(quarter)
        self.versions = {one.clinic.code: one for one in found.versions}
        frame = network_signal_rows(
            found.own.network, found.versions, self.year, "rule_2022"
        ) if found.versions else None  # fmt: skip
        rows = [] if frame is None else frame.to_dict("records")
        self.rows = {(row["rule"], row["clinic"]): row for row in rows}
        self.days = {code: self._days(code) for code in self.versions}
        self.hidden = self._hidden() if found.is_coded else set()

    def _days(self, code: str) -> int:
        row = Figures(self.versions[code]).row(self.year, RATE)
        return int(row["denominator"]) if row else 0

    def _hidden(self) -> set[str]:
        """Other clinics with a small count, and as many more as keep it hidden in the total."""
        others = [code for code in self.compared if code != self.found.own.code]
        counts = [int(self.rows["funnel", code]["observed"]) for code in others]
        if not counts:
            return set()
        shown = small_cells(counts, total=sum(counts)).shown
        return {code for code, cell in zip(others, shown, strict=False) if cell == HIDDEN}

    @property
    def compared(self) -> list[str]:
        """Clinics with time at risk: the largest first for who sees no names, else by name."""
        codes = [code for code in self.versions if ("funnel", code) in self.rows]
        return sorted(codes, key=lambda code: -self.days[code]) if self.found.is_coded else codes

    @property
    def rate(self) -> float:
        """Of all clinics together: what the funnel's expected counts stand for."""
        expected = sum(self.rows["funnel", code]["expected"] for code in self.compared)
        days = sum(self.days[code] for code in self.compared)
        return float(expected) / (days / DAYS_PER_YEAR) if days else 0.0

    @property
    def shown(self) -> list[str]:
        own = self.found.own.code
        if not self.found.shows_others:
            return [code for code in self.compared if code == own]
        return [code for code in self.compared if code not in self.hidden]

    def name(self, code: str) -> str:
        is_named = not self.found.is_coded or code == self.found.own.code
        return self.versions[code].clinic.name if is_named else ""

    def address(self, code: str) -> str:
        """Only the own clinic's Quarter opens to a director."""
        if not self.found.is_coded or code != self.found.own.code:
            return ""
        return quarter_address(self.versions[code], self.quarter)


def charts(c: Compared) -> list[Chart]:
    if not c.compared:
        return []
    made = [_funnel(c), _ratios(c)]
    return made if c.found.is_coded else [*made, _completeness(c)]


def _funnel(c: Compared) -> Chart:
    return funnel([_point(c, code) for code in c.shown], c.rate, _title(c), _note(c))


def _point(c: Compared, code: str) -> Point:
    row = c.rows["funnel", code]
    limits = tuple(float(c.rows[rule, code]["limit"]) for rule in LIMITS)
    low, warn_low, warn_high, high = limits
    return Point(
        c.name(code), c.days[code] / DAYS_PER_YEAR, int(row["observed"]), float(row["expected"]),
        float(row["statistic"]), (low, warn_low, warn_high, high), str(row["sentence"]),
        code == c.found.own.code and c.found.is_coded, c.address(code),
    )  # fmt: skip


def _title(c: Compared) -> str:
    out = [code for code in c.compared if _is_out(c, code)]
    if not out:
        return "No clinic lies outside what luck does at its size."
    named = [c.name(code) or "a clinic" for code in out]
    return f"Outside what luck does at its size: {' and '.join(dict.fromkeys(named))}."


def _is_out(c: Compared, code: str) -> bool:
    return any(stands_out(c.rows[rule, code]) for rule in ("funnel_low", "funnel"))


def _note(c: Compared) -> str:
    told = ["Thin: what luck keeps to in 99.8 % of years, broad in 95 %. Inside nothing is ranked."]
    if not c.found.shows_others:
        told.append("Fewer than five other clinics: only your own stands here.")
    elif c.hidden:
        many = number_word(len(c.hidden)).capitalize()
        noun = "clinic is" if len(c.hidden) == 1 else "clinics are"
        told.append(f"{many} {noun} not drawn: fewer than five episodes, or they would tell them.")
    if c.found.missing:
        many = counted_text(c.found.missing, "clinic has", "clinics have")
        told.append(f"{many} no version of {period_text(c.quarter)} that is open to you.")
    return " ".join(told)


def _ratios(c: Compared) -> Chart:
    lines = [_ratio_line(c, code) for code in c.shown if (RATIO, code) in c.rows]
    says = ("observed over expected", _one_digit)
    axis = Axis(2.4, 0.4, *says, _HEADS, 1.0, "as expected")
    words = Words("standardised_ratios", _ratio_title(lines), "Standardised ratios", _RATIO_NOTE)
    return lying_figures(lines, axis, words)


def _one_digit(tick: float) -> str:
    return f"{tick:.1f}"


_HEADS = ("observed", "expected", "ratio")
_RATIO_NOTE = (
    "Expected: what the network’s rates give with the clinic’s own mix of CAPD and APD. Two "
    "ratios are not compared with each other. Not shown where fewer than one is expected."
)


def _ratio_line(c: Compared, code: str) -> Line:
    found = c.rows[RATIO, code]
    name = c.name(code) or "another clinic"
    value = None if found["statistic"] != found["statistic"] else float(found["statistic"])
    observed, expected = int(found["observed"]), float(found["expected"])
    row = {
        "period": c.year, "split": "", "band": name, "measure": RATIO, "numerator": observed,
        "denominator": expected, "denominator_unit": "", "value": value, "lower": value,
        "upper": value, "target": None, "verdict": "",
    }  # fmt: skip
    told = "not shown" if value is None else rate_text(value)
    cells = (str(observed), f"{expected:.1f}", told)
    brief = f"{observed} where {expected:.1f}: {told}"
    return Line(name, row, cells, f"{name}: {found['sentence']}", brief, c.address(code))


def _ratio_title(lines: list[Line]) -> str:
    many = counted_text(len(lines), "clinic", "clinics")
    return f"Observed over expected, with each clinic’s own mix of modality: {many}."


def _completeness(c: Compared) -> Chart:
    lines = [line for code in c.shown if (line := _bounds(c, code))]
    axis = Axis(1.6, 0.4, "per patient-year", _one_digit, ("could lie",))
    title = "What missing fields could do to each clinic’s rate."
    return lying_figures(lines, axis, Words("network_completeness", title, "Bounds of the rate"))


def _bounds(c: Compared, code: str) -> Line | None:
    figures = Figures(c.versions[code])
    row = figures.row(c.year, RATE)
    low, high = (figures.estimate(c.year, f"{RATE}_{end}") for end in ("lowest", "highest"))
    if row is None or low is None or high is None or low["value"] is None or not row["denominator"]:
        return None
    told = f"{rate_text(low['value'])} to {rate_text(high['value'])}"
    name = c.name(code)
    shown = row | {"lower": low["value"], "upper": high["value"], "band": name}
    return Line(name, shown, (told,), f"{name}: from {told}.", told)
