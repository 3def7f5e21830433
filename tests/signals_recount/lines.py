"""Signals of one clinic recounted slowly, day by day, from the slow recount of its cases."""

import csv
from dataclasses import dataclass
from datetime import date, timedelta
from math import comb, exp, floor, log
from pathlib import Path

from tests.recount.cases import case_row
from tests.recount.clinics import ClinicCount, first_dated_day

LIMITS = Path(__file__).parents[2] / "surveillance" / "signals" / "cusum_limits.csv"
TARGETS = {"rule_2022": 0.4, "rule_2016": 0.5}
WATER = {"pseudomonas", "acinetobacter", "stenotrophomonas"}
DAY, WEEK = timedelta(days=1), timedelta(days=7)
Line = dict[str, object]


@dataclass(frozen=True)
class Isolate:
    patient: str
    onset: date
    groups: frozenset[str]


class Watch:
    """One clinic up to the last day that is looked at."""

    def __init__(self, clinic: ClinicCount, last: date) -> None:
        self.clinic, self.last = clinic, last
        self.rate = TARGETS[clinic.rule_set]
        people = clinic.patients
        self.at_risk: dict[date, int] = {}
        for day in (day for one in people for day in one.days.at_risk if day <= last):
            self.at_risk[day] = self.at_risk.get(day, 0) + 1
        peritonitis = [
            (one, case) for one in people for case in one.cases if case.kind == "peritonitis"
        ]
        counted = [case.onset_on for _, case in peritonitis if case.counts]
        self.counted = sorted(day for day in counted if day <= last)
        self.isolates = [
            Isolate(one.patient.name, case.onset_on, groups_of(case_row(one.patient, case)))
            for one, case in peritonitis
            if case.confirmed == "confirmed"
            and case.sequence not in ("relapsing", "same_episode")
            and case.onset_on <= last
        ]
        self.is_dated = first_dated_day([one.patient for one in people]) is not None

    @property
    def first(self) -> date | None:
        return min(self.at_risk, default=None)


def groups_of(row: Line) -> frozenset[str]:
    groups = set(str(row["organism_groups"]).split(";")) - {""}
    return frozenset(groups | ({"water"} if groups & WATER else set()))


def limit_of(mean: float) -> float | None:
    """The kept limit of the first size that is not smaller."""
    if mean <= 0:
        return None
    with LIMITS.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    fits = [row for row in rows if float(row["weekly_mean"]) >= mean * (1 - 1e-6)]
    return float((fits or rows[-1:])[0]["limit"])


def cusum(watch: Watch) -> list[Line]:
    """S <- max(0, S + x ln 2 - r0 T) by the week, with the limit taken when S stands at 0."""
    if watch.first is None:
        return []
    monday = watch.first - watch.first.weekday() * DAY
    total, limit, start, seen, expected = 0.0, None, monday, 0, 0.0
    sizes: list[int] = []
    lines: list[Line] = []
    over = False
    while monday + 6 * DAY <= watch.last:
        days = [monday + number * DAY for number in range(7)]
        time = sum(watch.at_risk.get(day, 0) for day in days)
        sizes = [*sizes, time][-13:]
        if over:
            total = 0.0
        if total == 0:
            limit = limit_of(sum(sizes) / len(sizes) / 365.25 * watch.rate)
            start, seen, expected = monday, 0, 0.0
        mean = watch.rate * time / 365.25
        count = sum(day in days for day in watch.counted)
        seen, expected = seen + count, expected + mean
        total = max(0.0, total + count * log(2) - mean)
        over = limit is not None and total > limit
        lines.append({
            "window_start": start, "window_end": monday + 6 * DAY, "observed": seen,
            "expected": expected, "statistic": total, "limit": limit,
        })  # fmt: skip
        monday += WEEK
    return lines


def scan_p(inside: int, total: int, weeks: int) -> float:
    """Naus: (k/w - N - 1) b(k; N, w) + 2 P(Bin(N, w) >= k); never less than for more."""
    w = 8 / weeks
    b = [comb(total, k) * w**k * (1 - w) ** (total - k) for k in range(total + 1)]
    each = [(k / w - total - 1) * b[k] + 2 * sum(b[k:]) for k in range(inside, total + 1)]
    return min(1.0, max(0.0, *each)) if len(each) > 1 else min(1.0, max(0.0, each[0]))


def quiet(others: int, weeks: int) -> int | None:
    if weeks < 16:
        return None
    return next(k - 1 for k in range(3, 99) if scan_p(k, k + others, weeks) < 0.05)


def clusters(watch: Watch, group: str) -> list[Line]:
    """Every day with a first isolate, and the last day."""
    own = sorted((one.onset, one.patient) for one in watch.isolates if group in one.groups)
    firsts = [
        (onset, patient)
        for onset, patient in own
        if not any(
            other == patient and timedelta(0) < onset - before < 728 * DAY for before, other in own
        )
    ]
    firsts = sorted(set(firsts))
    days = sorted({onset for onset, _ in firsts} | {watch.last})
    return [_look(watch, [onset for onset, _ in firsts], day) for day in days]


def _look(watch: Watch, onsets: list[date], day: date) -> Line:
    inside = sum(timedelta(0) <= day - one < 56 * DAY for one in onsets)
    total = sum(timedelta(0) <= day - one < 728 * DAY for one in onsets)
    known = (day - watch.first).days + 1 if watch.first and watch.first <= day else 0
    weeks = min(104, max(1, known // 7))
    p = None if not inside else 1.0 if weeks < 16 else scan_p(inside, total, weeks)
    return {
        "window_start": day - 55 * DAY, "window_end": day, "observed": inside,
        "expected": total * 8 / max(weeks, 8), "statistic": inside,
        "limit": quiet(total - inside, weeks), "p": p,
    }  # fmt: skip


def quarters(watch: Watch) -> list[Line]:
    """Each ended quarter against the count that luck passes in 0.135 % of quarters."""
    own = [one for one in watch.clinic.periods if one.kind == "quarter"]
    cells = [(one, sum(map(one.holds, watch.counted)), _days(watch, one) / 365.25) for one in own]
    time = sum(years for _, _, years in cells)
    centre = sum(count for _, count, _ in cells) / time if time else None
    return [_quarter(one, count, years, centre) for one, count, years in cells]


def _days(watch: Watch, period: object) -> int:
    return sum(number for day, number in watch.at_risk.items() if period.holds(day))


def _quarter(period: object, count: int, years: float, centre: float | None) -> Line:
    line: Line = {
        "window_start": period.first, "window_end": period.last, "observed": count,
        "expected": None, "statistic": None, "limit": None, "p": None,
    }  # fmt: skip
    if years:
        mean = centre * years
        line |= {"expected": mean, "statistic": count / years, "p": _at_least(count, mean)}
        line["limit"] = _most(mean) / years
    return line


def _chances(mean: float, upto: int) -> list[float]:
    chances = [exp(-mean)]
    for number in range(1, upto + 1):
        chances.append(chances[-1] * mean / number)
    return chances


def _at_least(count: int, mean: float) -> float:
    return 1 - sum(_chances(mean, count - 1)) if count else 1.0


def _most(mean: float) -> int:
    total, number = 0.0, -1
    while total < 1 - 0.00135:
        number += 1
        total = sum(_chances(mean, number))
    return number


def running_gap(watch: Watch) -> Line:
    """Patient-days since the last counted episode, its own day included in them."""
    first = watch.first or watch.last + DAY
    since = watch.counted[-1] if watch.counted else first
    days = sum(number for day, number in watch.at_risk.items() if since <= day)
    gaps = _closed_gaps(watch)
    own = sum(gaps) / len(gaps) if len(gaps) >= 8 and any(gaps) else None
    limit = None
    if own is not None:
        limit = floor(log(0.00135) / log(1 - 1 / (own + 1)) - 1e-9)
    return {"statistic": days, "limit": limit, "window_end": watch.last}


def _closed_gaps(watch: Watch) -> list[int]:
    edges = [date.min, *watch.counted]
    return [
        sum(number for day, number in watch.at_risk.items() if before <= day < after)
        for before, after in zip(edges, edges[1:], strict=False)
    ]
