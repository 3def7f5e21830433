"""Estimate rows that need several clinics: what is still on its way, and clinics compared."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from surveillance.estimates.between_clinics import RATE, between_clinics
from surveillance.estimates.entry_delay import AFTER_DAYS, COUNT_NAME
from surveillance.estimates.nowcast import QUARTERS_TO_LEARN_FROM, nowcasts
from surveillance.estimates.rows import YEARS, Floats
from surveillance.models import Snapshot
from surveillance.network import kept_periods
from surveillance.network_signals import clinics_beside
from surveillance.periods import parse_period
from surveillance.rates.lateness import Nowcast
from surveillance.rules import RULE_SETS, RuleSet
from surveillance.snapshots import periods, table_rows
from surveillance.table_text import table_text
from surveillance.tables import WRITTEN_TABLES
from surveillance.text_columns import of_texts

NAME, METHOD = "peritonitis_expected_count", "chain_ladder"


def network_estimate_bodies(
    network: str, snapshots: Sequence[Snapshot], period: str, rule_set: str
) -> Iterator[str]:
    """The network's own estimates as CSV without a header.

    period: one period, or empty for all. First the nowcast of each quarter that may still grow: a
    clinic that cannot tell yet leaves the sum untold. Then standardised ratios and shrunk rates of
    the clinics in years and rolling years.
    """
    kept = kept_periods(snapshots, "")
    rows = [*_nowcast_rows(network, snapshots, kept, period)]
    for text in kept:
        if period in ("", text):
            rows += _between_rows(network, snapshots, text, RULE_SETS[rule_set])
    if rows:
        yield table_text("estimates", _frame(rows)).partition("\n")[2]


def _nowcast_rows(
    network: str, snapshots: Sequence[Snapshot], kept: Sequence[str], period: str
) -> Iterator[dict[str, object]]:
    quarters = [one for one in kept if parse_period(one).kind == "quarter"]
    quarters = quarters[-QUARTERS_TO_LEARN_FROM - 1 :]
    if quarters:
        sums = np.sum([_entered(snapshot, quarters) for snapshot in snapshots], axis=0)
        for place, found in nowcasts(sums).items():
            if period in ("", quarters[place]):
                yield _row(network, quarters[place], found)


def _between_rows(
    network: str, snapshots: Sequence[Snapshot], text: str, rules: RuleSet
) -> Iterator[dict[str, object]]:
    """Under the network's name, a band for each clinic: no clinic's own rows are added to."""
    period = parse_period(text)
    if period.kind not in YEARS:
        return
    beside = clinics_beside(snapshots, period, rules.number("days_per_year"))
    target, level = rules.targets[RATE].value, rules.number("limits_level")
    for one in between_clinics(beside, target, level):
        yield {
            "clinic": network, "period": text, "name": one.name, "split": "clinic",
            "band": snapshots[one.place].clinic.code, "method": one.method, "value": one.value,
            "lower": one.limits[0], "upper": one.limits[1], "note": one.note,
        }  # fmt: skip


def _entered(snapshot: Snapshot, quarters: Sequence[str]) -> Floats:
    """One clinic's counts, quarters x delays; none before its first quarter."""
    own = set(periods(snapshot, "estimates"))
    counts = np.zeros((len(quarters), len(AFTER_DAYS)))
    for place, quarter in enumerate(quarters):
        if quarter in own:
            by_day = {
                row["band"]: row["value"]
                for row in table_rows(snapshot, "estimates", quarter)
                if row["name"] == COUNT_NAME
            }
            told = [by_day.get(str(days)) for days in AFTER_DAYS]
            counts[place] = [np.nan if count is None else count for count in told]
    return counts


def _row(network: str, quarter: str, found: Nowcast) -> dict[str, object]:
    share = f"; about {100 * found.share_in:.0f} % usually in by now" if found.latest else ""
    return {
        "clinic": network, "period": quarter, "name": NAME, "split": "", "band": "",
        "method": METHOD, "value": found.nowcast, "lower": np.nan, "upper": np.nan,
        "note": f"{found.latest:.0f} in the record so far{share}",
    }  # fmt: skip


def _frame(rows: Sequence[dict[str, object]]) -> pd.DataFrame:
    return pd.DataFrame(
        {
            column.name: of_texts(np.array([row[column.name] for row in rows], dtype=object))
            if column.kind != "number"
            else np.array([row[column.name] for row in rows], dtype=np.float64)
            for column in WRITTEN_TABLES["estimates"]
        }
    )
