"""Two rule sets side by side: the measure rows that differ, and the rules that do."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from surveillance.rules import Rule, RuleSet, Target
from surveillance.tables import DIFFERENCE
from surveillance.text_columns import of_texts

KEYS = ["clinic", "period_start", "period_end", "measure", "split", "band", "period"]
COMPARED = ["numerator", "denominator", "value", "target", "verdict"]


def _cell(value: Any) -> str:
    return "; ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _said(rule: Rule | Target | None) -> str:
    if rule is None:
        return "none"
    sign = f"{rule.sign} " if isinstance(rule, Target) else ""
    return f"{sign}{_cell(rule.value)} ({rule.source}, {rule.place}, {rule.certainty})"


def _compared(name: str, one: Rule | Target | None, other: Rule | Target | None) -> str:
    return f"{name}: {_said(one)} against {_said(other)}"


def rules_that_differ(one: RuleSet, other: RuleSet) -> dict[str, str]:
    """Rules whose value differs, each with both values, sources, places and certainties.

    Test: tests/surveillance/measures/test_difference.py.
    """
    names = sorted({*one.rules, *other.rules})
    pairs = {name: (one.rules.get(name), other.rules.get(name)) for name in names}
    return {
        name: _compared(name, left, right)
        for name, (left, right) in pairs.items()
        if left is None or right is None or left.value != right.value
    }


def targets_that_differ(one: RuleSet, other: RuleSet) -> dict[str, str]:
    """Targets whose value differs, by measure, likewise. Test: as above."""
    names = sorted({*one.targets, *other.targets})
    pairs = {name: (one.targets.get(name), other.targets.get(name)) for name in names}
    return {
        name: _compared("target", left, right)
        for name, (left, right) in pairs.items()
        if left is None or right is None or left.value != right.value
    }


def _plain(rows: pd.DataFrame) -> pd.DataFrame:
    texts = {name: rows[name].astype(object) for name in [*KEYS, "verdict"]}
    return rows[[*KEYS, *COMPARED]].assign(**texts)


def _differs(both: pd.DataFrame) -> Any:
    """A cell that both lack is the same."""
    found = np.zeros(len(both), dtype=bool)
    for name in COMPARED:
        left, right = both[name], both[f"{name}_against"]
        found |= ((left != right) & ~(left.isna() & right.isna())).to_numpy()
    return found


def difference(
    one: pd.DataFrame, other: pd.DataFrame, rules: RuleSet, against: RuleSet
) -> pd.DataFrame:
    """The measure rows that two rule sets give differently, of the same record and day.

    one, other: measure rows; rules, against: the rule sets they were made by. Every rule that
    differs is named on every row, a target on its measure's rows only.
    Test: tests/surveillance/measures/test_difference.py.
    """
    both = _plain(one).merge(_plain(other), "outer", on=KEYS, suffixes=("", "_against"))
    both = both[_differs(both)].sort_values(KEYS, kind="stable", ignore_index=True)
    shared = list(rules_that_differ(rules, against).values())
    targets = targets_that_differ(rules, against)
    said = {
        name: "; ".join([*shared, *([targets[name]] if name in targets else [])])
        for name in both["measure"].unique()
    }
    both["rules"] = both["measure"].map(said)
    return pd.DataFrame({column.name: _column(both, column.name) for column in DIFFERENCE})


def _column(both: pd.DataFrame, name: str) -> Any:
    numbers = {column.name for column in DIFFERENCE if column.kind in ("whole", "number")}
    if name in numbers:
        return both[name].to_numpy(dtype=np.float64)
    return of_texts(both[name].fillna("").to_numpy(dtype=object))
