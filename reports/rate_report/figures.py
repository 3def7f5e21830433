"""The stored measure rows of one snapshot, read by period and picked by name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from reports.rate_report.period_text import is_quarter
from surveillance.models import Snapshot
from surveillance.snapshots import periods, table_rows

Row = dict[str, Any]


_TEXTS = ("split", "band", "verdict", "interval")
_NAMES = ("split", "band", "note")


def _texts_filled(row: Row, names: tuple[str, ...] = _TEXTS) -> Row:
    """An empty text is a text: undivided, without a target, without an interval."""
    return row | {name: row[name] or "" for name in names}


def _has_estimates(snapshot: Snapshot, period: str) -> bool:
    return snapshot.tables.filter(table="estimates", period=period).exists()


class Figures:
    """Measure rows of a snapshot; each period is read once."""

    def __init__(
        self, snapshot: Snapshot, is_open: Callable[[str], bool] = lambda period: True
    ) -> None:
        """`is_open`: whether the reader may see a period; a closed one is as good as not stored."""
        self.snapshot = snapshot
        stored = periods(snapshot)
        self.periods = list(filter(is_open, stored))
        self.closed = set(stored) - set(self.periods)
        self._read: dict[str, list[Row]] = {}
        self._estimates: dict[str, list[Row]] = {}
        self._signals: list[Row] | None = None

    def rows(self, period: str) -> list[Row]:
        if period not in self._read:
            known = period in self.periods
            stored = table_rows(self.snapshot, "measures", period) if known else []
            self._read[period] = [_texts_filled(row) for row in stored]
        return self._read[period]

    def row(self, period: str, measure: str, split: str = "", band: str = "") -> Row | None:
        """One figure, or none if the snapshot has no such row."""
        wanted = (measure, split, band)
        found = (r for r in self.rows(period) if (r["measure"], r["split"], r["band"]) == wanted)
        return next(found, None)

    def estimates(self, period: str) -> list[Row]:
        """The estimate rows of a period; none in a version that was stored without them."""
        if period not in self._estimates:
            known = period in self.periods and _has_estimates(self.snapshot, period)
            stored = table_rows(self.snapshot, "estimates", period) if known else []
            self._estimates[period] = [_texts_filled(row, _NAMES) for row in stored]
        return self._estimates[period]

    def estimate(
        self, period: str, name: str, split: str = "", band: str = "", method: str = ""
    ) -> Row | None:
        """One estimate, or none if the snapshot has no such row."""
        for row in self.estimates(period):
            found = (row["name"], row["split"], row["band"]) == (name, split, band)
            if found and method in ("", row["method"]):
                return row
        return None

    def signals(self) -> list[Row]:
        """The signal rows; none in a version that was stored without them."""
        if self._signals is None:
            held = self.snapshot.tables.filter(table="signals").exists()
            stored = table_rows(self.snapshot, "signals") if held else []
            self._signals = [_texts_filled(row, ("split", "band")) for row in stored]
        return self._signals

    def bands(self, period: str, measure: str, split: str) -> list[Row]:
        """The figures of one split, in stored order."""
        rows = self.rows(period)
        return [row for row in rows if row["measure"] == measure and row["split"] == split]

    def undivided(self, measure: str, wanted: list[str]) -> list[Row]:
        """One measure over several periods, as far as they are stored."""
        found = (self.row(period, measure) for period in wanted)
        return [row for row in found if row is not None]

    def quarters(self, through: str = "9999-Q4") -> list[str]:
        """The quarters stored, in time order, up to one."""
        found = sorted(filter(is_quarter, self.periods))
        return [period for period in found if period <= through]

    def rolling_years(self, through: str) -> list[str]:
        """The rolling years stored, in time order, up to the one that ends with a quarter."""
        found = [p for p in sorted(self.periods) if p.endswith("/4q")]
        return [period for period in found if period <= f"{through}/4q"]
