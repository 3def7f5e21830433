"""Measure rows for the charts' tests, with limits from scipy, and a reader of drawings."""

from typing import Any
from xml.etree import ElementTree

from scipy.stats import beta, chi2

Row = dict[str, Any]
_NAME = "{http://www.w3.org/2000/svg}"


def rate_row(period: str, counted: int, days: int, split: str = "", band: str = "") -> Row:
    value, low, high = _limits(counted, days) if days else (None, None, None)
    target = None if split else 0.40
    return {
        "clinic": "Tern Quay", "period": period, "measure": "peritonitis_rate", "split": split,
        "band": band, "numerator": counted, "denominator": days,
        "denominator_unit": "patient_days", "value": value, "lower": low, "upper": high,
        "level": 0.95, "interval": "exact_poisson", "target": target,
        "verdict": _verdict(value, low, high, target), "rule_set": "rule_2022",
    }  # fmt: skip


def share_row(measure: str, part: int, whole: int, target: float | None) -> Row:
    low = float(beta.ppf(0.025, part, whole - part + 1)) if part else 0.0
    high = float(beta.ppf(0.975, part + 1, whole - part)) if part < whole else 1.0
    return rate_row("2025-Q4/4q", part, whole) | {
        "measure": measure, "denominator_unit": "patients", "value": part / whole,
        "lower": low, "upper": high, "target": target,
    }  # fmt: skip


def _limits(counted: int, days: int) -> tuple[float, float, float]:
    a_year = 365.25 / days
    low = float(chi2.ppf(0.025, 2 * counted)) / 2 * a_year if counted else 0.0
    return counted * a_year, low, float(chi2.ppf(0.975, 2 * counted + 2)) / 2 * a_year


def _verdict(
    value: float | None, low: float | None, high: float | None, target: float | None
) -> str:
    if target is None or value is None or low is None or high is None:
        return "" if target is None else "no_data"
    return ("meets" if value <= target else "misses") + (
        "_uncertain" if low <= target <= high else ""
    )


def shapes(svg: str, kind: str = "datum") -> list[dict[str, str]]:
    """The attributes of the groups of one kind, in drawing order."""
    tree = ElementTree.fromstring(svg)
    return [dict(held.attrib) for held in tree.iter(f"{_NAME}g") if held.get("class") == kind]


def texts(svg: str) -> list[str]:
    return [held.text or "" for held in ElementTree.fromstring(svg).iter(f"{_NAME}text")]


def number(text: str | None) -> float | None:
    return None if text is None else float(text)
