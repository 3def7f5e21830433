"""When a seed tells the two stories and keeps the decoys quiet: workflows.md 5, by our signals.

Each condition is a function of one watched clinic that returns what is wrong with it, or nothing.
"""

from __future__ import annotations

from collections.abc import Callable

from scipy.stats import poisson

from surveillance.rates.compare import rate_ratio
from tests.clinic.demo.watched import DAYS_PER_YEAR, Watched

Fault = str | None
Condition = Callable[[Watched], Fault]
YEARS = ("2023", "2024", "2025")
CALM_RATE = 0.45  # Tern Quay before and after its story
NETWORK_RATES = (0.33, 0.40)
# Months counted from 0 in January 2023: 15 to 27.
STORY_A = ("2024-04-01", "2025-04-30")
STORY_B = ("2025-07-06", "2025-10-31")
WATER_BANDS = {"pseudomonas", "acinetobacter", "stenotrophomonas", "water"}
WATER_CASES = (4, 6)


def _rate(clinic: Watched, *periods: str) -> float:
    cells = clinic.rate_cells(periods).iloc[0]
    return float(cells["numerator"] * DAYS_PER_YEAR / cells["denominator"])


def no_alarm(clinic: Watched) -> Fault:
    """Steady clinics: neither the peritonitis CUSUM nor an organism alarm, ever."""
    found = [f"{row['rule']} {row['band']} {row['window_end']}" for row in clinic.alarms()]
    return f"alarms: {', '.join(found)}" if found else None


def story_a_alarm(clinic: Watched) -> Fault:
    """The CUSUM alarms in the named months, and nothing alarms outside them."""
    first, last = STORY_A
    alarms = clinic.alarms()
    inside = [row for row in alarms if first <= row["window_end"] <= last]
    if not any(row["rule"] == "peritonitis_cusum" for row in inside):
        return "no CUSUM alarm in the story"
    return None if len(inside) == len(alarms) else "an alarm outside the story"


def lapse_cohort(clinic: Watched) -> Fault:
    """First trained by T-03, in the year to 2025-Q1, against all first trained by the others."""
    lapsed = clinic.rate_cells(("2025-Q1/4q",), "first_trainer").loc["T-03"]
    others = clinic.rate_cells(YEARS, "first_trainer").drop("T-03").sum()
    found = rate_ratio(
        int(lapsed["numerator"]), lapsed["denominator"] / DAYS_PER_YEAR,
        int(others["numerator"]), others["denominator"] / DAYS_PER_YEAR, 0.95,
    )  # fmt: skip
    said = f"cohort ratio {found.ratio:.2f}, p {found.p_central:.3f}"
    return None if found.ratio > 1 and found.p_central < 0.02 else said


def calm_before_and_after(clinic: Watched) -> Fault:
    before = _rate(clinic, "2023", "2024-Q1")
    after = _rate(clinic, "2025-Q2", "2025-Q3", "2025-Q4")
    return None if max(before, after) < CALM_RATE else f"rates {before:.2f} and {after:.2f}"


def water_cluster(clinic: Watched) -> Fault:
    """Four to six cases of water organisms in at least four patients, and the alarm on them."""
    rows = clinic.counted(*STORY_B)
    groups = rows["organism_groups"].astype(str).str.split(";")
    water = rows[[bool(WATER_BANDS & {*own}) for own in groups]]
    if not WATER_CASES[0] <= len(water) <= WATER_CASES[1] or water["patient"].nunique() < 4:
        return f"{len(water)} water cases"
    first, last = STORY_B
    alarms = [row for row in clinic.alarms() if row["band"] in WATER_BANDS]
    if not any(first <= row["window_end"] <= last and row["p"] < 0.01 for row in alarms):
        return "no organism alarm"
    return None


def rate_alone_is_quiet(clinic: Watched) -> Fault:
    """Saltmere's rate says nothing: no CUSUM alarm, and its quarter is within chance."""
    first, last = STORY_B
    other = [
        row
        for row in clinic.alarms()
        if row["band"] not in WATER_BANDS or not first <= row["window_end"] <= last
    ]
    if other:
        return f"{other[0]['rule']} {other[0]['band']} {other[0]['window_end']}"
    cells = clinic.rate_cells(("2025-Q3",)).iloc[0]
    mean = 0.40 * cells["denominator"] / DAYS_PER_YEAR
    p = float(poisson.sf(cells["numerator"] - 1, mean))
    return None if p > 0.025 else f"the quarter's rate stands out, p {p:.3f}"


def quarter_of_three(clinic: Watched) -> Fault:
    """Larkrise: at least one quarter with three episodes, of different organisms."""
    rows = clinic.counted("2023-01-01", "2025-12-31")
    quarter = rows["onset_on"].astype(str).map(lambda day: f"{day[:4]}-{(int(day[5:7]) - 1) // 3}")
    for _, own in rows.groupby(quarter):
        if len(own) >= 3 and own["organism_group"].nunique() == len(own):
            return None
    return "no quarter of three different organisms"


def fewer_negative_cultures(clinic: Watched) -> Fault:
    """Alder Bridge: the share falls from about a third to a seventh with the bottles."""
    rows = clinic.counted("2022-01-01", "2025-12-31")
    after = rows["onset_on"].astype(str) >= "2024-10-01"
    negative = rows["culture_group"] == "culture_negative"
    shares = float(negative[~after].mean()), float(negative[after].mean())
    return None if shares[0] > 0.26 and shares[1] < 0.18 else f"negative shares {shares}"


CONDITIONS: dict[str, tuple[Condition, ...]] = {
    "SM": (water_cluster, rate_alone_is_quiet),
    "TQ": (story_a_alarm, calm_before_and_after, lapse_cohort),
    "LR": (quarter_of_three, no_alarm),
    "FM": (no_alarm,),
    "AB": (fewer_negative_cultures, no_alarm),
    "CM": (no_alarm,),
}


def faults_of(clinic: Watched) -> list[str]:
    return [
        f"{clinic.code} {condition.__name__}: {fault}"
        for condition in CONDITIONS[clinic.code]
        if (fault := condition(clinic)) is not None
    ]


def network_rate(clinics: list[Watched]) -> float:
    cells = [clinic.rate_cells(YEARS).iloc[0] for clinic in clinics]
    days = sum(one["denominator"] for one in cells)
    return float(sum(one["numerator"] for one in cells) * DAYS_PER_YEAR / days)
