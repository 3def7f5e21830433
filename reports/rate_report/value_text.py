"""The words of one measure row's figure."""

from __future__ import annotations

from typing import Any

from reports.rate_report.names import MEASURES
from reports.rate_report.number_text import percent_text, rate_text
from surveillance.words import NOTHING_TO_COUNT

Row = dict[str, Any]
NOBODY = "nobody was at risk"
RATES = {name for name in MEASURES if name.endswith("_rate")}  # the others are shares


def value_text(row: Row) -> str:
    """The figure itself; a gap is said, never drawn as zero."""
    if not row["denominator"]:
        at_risk = row["denominator_unit"] in ("patient_days", "patients")
        return NOBODY if at_risk else NOTHING_TO_COUNT
    shown = rate_text if row["measure"] in RATES else percent_text
    return shown(row["value"], row["target"])
