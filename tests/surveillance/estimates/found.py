"""Estimate rows of small records, by name and band."""

from datetime import date

from surveillance.estimates.compute import compute_with_estimates
from surveillance.rules import RULE_SETS
from surveillance.tables import Record
from tests.surveillance.records import AS_OF, catalogue

Key = tuple[str, str, str]  # name, band, method


def estimate_rows(
    record: Record, as_of: date = AS_OF, rule_set: str = "rule_2022", through: str | None = None
) -> list[dict]:
    _, frame = compute_with_estimates(record, catalogue(), RULE_SETS[rule_set], as_of, through)
    return frame.to_dict("records")


def estimates(record: Record, period: str = "2025", as_of: date = AS_OF) -> dict[Key, dict]:
    """The rows of one period; a missing number is None."""
    return {
        (row["name"], row["band"], row["method"]): {
            name: None if value != value else value for name, value in row.items()
        }
        for row in estimate_rows(record, as_of)
        if row["period"] == period
    }


def one(record: Record, name: str, method: str, band: str = "", period: str = "2025") -> dict:
    return estimates(record, period)[name, band, method]
