"""One figure to one measure row: value, limits, target and verdict (design 3.3)."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from tests.recount.limits import binomial_share_limits, poisson_rate_limits
from tests.recount.periods import Period

DAYS_PER_YEAR = Fraction("365.25")
LEVEL = 0.95

UNITS = {
    "peritonitis_rate": "patient_days",
    "exit_site_infection_rate": "patient_days",
    "tunnel_infection_rate": "patient_days",
    "catheter_infection_rate": "patient_days",
    "organism_rate": "patient_days",
    "median_patient_rate": "patients",
    "peritonitis_free_share": "patients",
    "insertion_related_share": "catheters",
}  # every other measure: episodes

# (rule set, measure): the sign and the target
TARGETS = {
    ("rule_2022", "peritonitis_rate"): ("<=", "0.4"),
    ("rule_2016", "peritonitis_rate"): ("<=", "0.5"),
    ("rule_2022", "exit_site_infection_rate"): ("<=", "0.4"),
    ("rule_2022", "peritonitis_free_share"): (">", "0.8"),
    ("rule_2022", "culture_negative_share"): ("<", "0.15"),
    ("rule_2016", "culture_negative_share"): ("<", "0.15"),
    ("rule_2022", "insertion_related_share"): ("<", "0.05"),
}


@dataclass
class Figure:
    period: Period
    measure: str
    numerator: int
    denominator: int
    split: str = ""
    band: str = ""
    median: Fraction | None = None

    @property
    def unit(self) -> str:
        return UNITS.get(self.measure, "episodes")

    @property
    def interval(self) -> str:
        if self.measure == "median_patient_rate":
            return ""
        return "exact_poisson" if self.unit == "patient_days" else "exact_binomial"

    def value(self) -> Fraction | None:
        if self.denominator == 0:
            return None
        if self.measure == "median_patient_rate":
            return self.median
        share = Fraction(self.numerator, self.denominator)
        return share * DAYS_PER_YEAR if self.unit == "patient_days" else share

    def limits(self) -> tuple[float | str, float | str]:
        """ "Garwood; Clopper-Pearson"; "denominator 0: value, lower, upper empty"."""
        if self.denominator == 0 or not self.interval:
            return "", ""
        if self.interval == "exact_poisson":
            return poisson_rate_limits(self.numerator, float(self.denominator / DAYS_PER_YEAR))
        return binomial_share_limits(self.numerator, self.denominator)

    def target(self, rule_set: str) -> tuple[str, str] | None:
        """ "Targets only on undivided rows"; the free share "only on year and 4q"."""
        if self.split or (
            self.measure == "peritonitis_free_share" and self.period.kind in ("month", "quarter")
        ):
            return None
        return TARGETS.get((rule_set, self.measure))

    def verdict(self, rule_set: str) -> str:
        """ "meets or misses by the unrounded value, + _uncertain if lower <= target <= upper;
        no_data at denominator 0; empty without target"."""
        target, value = self.target(rule_set), self.value()
        if target is None:
            return ""
        if value is None:
            return "no_data"
        sign, bound = target[0], Fraction(target[1])
        meets = {"<=": value <= bound, "<": value < bound, ">": value > bound}[sign]
        lower, upper = self.limits()
        doubt = "_uncertain" if lower <= float(bound) <= upper else ""
        return ("meets" if meets else "misses") + doubt

    def row(self, clinic: str, rule_set: str, as_of: date) -> dict[str, object]:
        value, target = self.value(), self.target(rule_set)
        lower, upper = self.limits()
        return {
            "clinic": clinic,
            "period": self.period.name,
            "period_start": self.period.first,
            "period_end": self.period.last,
            "measure": self.measure,
            "split": self.split,
            "band": self.band,
            "numerator": self.numerator,
            "denominator": self.denominator,
            "denominator_unit": self.unit,
            "value": "" if value is None else float(value),
            "lower": lower,
            "upper": upper,
            "level": LEVEL if self.interval else "",
            "interval": self.interval,
            "target": float(target[1]) if target else "",
            "verdict": self.verdict(rule_set),
            "rule_set": rule_set,
            "as_of": as_of,
        }


SORTED_BY = ("clinic", "period_start", "period_end", "measure", "split", "band", "period")


def ordered(rows: list[dict[str, object]]) -> list[dict[str, object]]:
    return sorted(rows, key=lambda row: [row[name] for name in SORTED_BY])
