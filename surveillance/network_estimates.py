"""Estimate rows that need several clinics: what is still on its way into their records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from surveillance.estimates.entry_delay import AFTER_DAYS, COUNT_NAME
from surveillance.estimates.nowcast import QUARTERS_TO_LEARN_FROM, nowcasts
from surveillance.estimates.rows import Floats
from surveillance.models import Snapshot
from surveillance.network import kept_periods
from surveillance.periods import parse_period
from surveillance.rates.lateness import Nowcast
from surveillance.snapshots import periods, table_rows
from surveillance.table_text import table_text
from surveillance.tables import WRITTEN_TABLES
from surveillance.text_columns import of_texts

NAME, METHOD = "peritonitis_expected_count", "chain_ladder"


def network_estimate_bodies(
    network: str, snapshots: Sequence[Snapshot], period: str, rule_set: str
) -> Iterator[str]:
    """The network's nowcast of each quarter that may still grow, as CSV without a header.

    period: one quarter, or empty for all. A clinic that cannot tell yet leaves the sum untold.
    """
    quarters = [one for one in kept_periods(snapshots, "") if parse_period(one).kind == "quarter"]
    quarters = quarters[-QUARTERS_TO_LEARN_FROM - 1 :]
    if quarters:
        sums = np.sum([_entered(snapshot, quarters) for snapshot in snapshots], axis=0)
        rows = [
            _row(network, quarters[place], found)
            for place, found in nowcasts(sums).items()
            if period in ("", quarters[place])
        ]
        yield table_text("estimates", _frame(rows)).partition("\n")[2]


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
