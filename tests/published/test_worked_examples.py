"""Every worked example whose method is a public function, read from its file with its source."""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Callable, Mapping
from dataclasses import asdict, is_dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import pytest

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "published" / "worked_examples.csv"

FUNCTIONS = {
    "surveillance.rates.poisson": (
        "exact_poisson_limits midp_poisson_limits crude_rate gamma_posterior"
    ),
    "surveillance.rates.binomial": "binomial_limits",
    "surveillance.rates.compare": "rate_ratio standardised_ratio",
    "surveillance.rates.clustering": "overdispersion shrinkage",
    "surveillance.rates.regression": "poisson_regression_bands",
    "surveillance.rates.incidence": "aalen_johansen mean_cumulative_count",
    "surveillance.rates.planning": (
        "power_below_target power_excess two_period_size relative_standard_error many_looks "
        "peritonitis_free_from_rate"
    ),
    "surveillance.rates.lateness": "chain_ladder",
    "surveillance.signals.shewhart": (
        "u_chart u_chart_false_alarm t_chart g_chart run_rules run_rules_data"
    ),
    "surveillance.signals.cusum": "cusum_path cusum_arl lr_cusum_path lr_cusum_arl",
    "surveillance.signals.ewma": "ewma_path",
    "surveillance.signals.scan": "temporal_scan_p temporal_scan_max",
    "surveillance.signals.funnel": "funnel_limits_exact funnel_overdispersion",
    "surveillance.masking": "small_cells",
}
MODULE_OF = {name: module for module, names in FUNCTIONS.items() for name in names.split()}
# The same function under the name of the option that the example shows.
MODULE_OF["aalen_johansen_delayed_entry"] = "surveillance.rates.incidence"
FUNCTION_OF = {"aalen_johansen_delayed_entry": "aalen_johansen"}


def examples() -> list[dict[str, str]]:
    with EXAMPLES.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [row for row in rows if row["method"] in MODULE_OF and "dataset" not in row["inputs"]]


def function(method: str) -> Callable[..., Any]:
    return getattr(import_module(MODULE_OF[method]), FUNCTION_OF.get(method, method))


def as_mapping(result: Any) -> Mapping[str, Any]:
    return asdict(result) if is_dataclass(result) and not isinstance(result, type) else result


def relative_and_absolute(row: dict[str, str], key: str) -> tuple[float, float]:
    """The row's own tolerance; a NB figure has its own, and printed digits are twelve."""
    text = row["tolerance"]
    if text.startswith("rel 1e-4 (NB)"):
        return (1e-4 if key.startswith("nb_") or key in ("lr", "p_boundary") else 1e-9), 1e-12
    kind, _, rest = text.partition(" ")
    size = float(rest.split()[0]) if kind in ("rel", "abs") else 1e-11
    return (max(size, 1e-11), 1e-11) if kind == "rel" else (1e-11, max(size, 1e-11))


def agrees(got: Any, expected: Any, rel: float, near: float) -> bool:
    if isinstance(expected, list):
        found = list(np.asarray(got, dtype=object)) if not isinstance(got, list) else got
        return len(found) == len(expected) and all(
            agrees(a, b, rel, near) for a, b in zip(found, expected, strict=True)
        )
    if expected is None:
        return got is None or math.isnan(got)
    if expected == "inf":
        return math.isinf(got) and got > 0
    if isinstance(expected, (bool, str)):
        return got == expected
    if got is None:
        return False
    return math.isclose(float(got), expected, rel_tol=rel, abs_tol=near)


@pytest.mark.parametrize("row", examples(), ids=lambda row: row["id"])
def test_worked_example_is_reproduced(row: dict[str, str]) -> None:
    result = as_mapping(function(row["method"])(**json.loads(row["inputs"])))
    for key, expected in json.loads(row["expected"]).items():
        rel, near = relative_and_absolute(row, key)
        assert key in result, f"{row['method']} gives no {key}"
        assert agrees(result[key], expected, rel, near), (
            f"{row['id']} {key}: {result[key]} is not {expected} ({row['source']})"
        )


def test_every_function_of_the_method_has_an_example() -> None:
    assert set(MODULE_OF) <= {row["method"] for row in examples()}
