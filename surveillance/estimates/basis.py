"""What every family of estimates is made from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pandas as pd

from surveillance.cases.organisms import Organisms
from surveillance.estimates.rows import Block
from surveillance.measures.facts import Facts


@dataclass(frozen=True)
class Basis:
    """The facts of some clinics, and the measure rows that were made of them."""

    facts: Facts
    known: Organisms
    measures: pd.DataFrame


Family = Callable[[Basis], Iterator[Block]]
