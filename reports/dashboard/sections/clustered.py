"""What episodes that cluster in patients do to the exact range, said beside the rate."""

from __future__ import annotations

from reports.dashboard.material import Material
from reports.rate_report.names import RATE
from reports.rate_report.number_text import rate_text

_ALWAYS = (
    "The exact range takes each episode as independent of the others. Where episodes cluster in "
    "few patients it is too narrow: it then misses the true rate in more than 5 of 100 years."
)


def clustering_note(m: Material) -> str:
    """With the stored range that allows for it, where there is one."""
    row = m.figures.row(m.year, RATE)
    robust = m.figures.estimate(m.year, RATE, method="patient_robust_hc0")
    spread = m.figures.estimate(m.year, f"{RATE}_dispersion")
    if row is None or not robust or robust["lower"] is None or not spread:
        return _ALWAYS
    exact, own = (
        f"{rate_text(one['lower'])} to {rate_text(one['upper'])}" for one in (row, robust)
    )
    told = f" Here: exact {exact}; allowing for it {own}"
    if spread["value"] is None:
        return f"{_ALWAYS}{told}."
    return f"{_ALWAYS}{told}; dispersion {spread['value']:.2f}, where 1 is no clustering."
