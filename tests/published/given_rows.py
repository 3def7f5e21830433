"""The rows of the two files of outside figures: published_checks.csv and worked_examples.csv."""

import csv
import json
from functools import cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[2] / "fixtures" / "published"

GivenRow = dict[str, str]


@cache
def given_rows(name: str) -> dict[str, GivenRow]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


def published(identifier: str) -> GivenRow:
    """A row of published_checks.csv."""
    return given_rows("published_checks.csv")[identifier]


def example(identifier: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Inputs and expected figures of a row of worked_examples.csv."""
    row = given_rows("worked_examples.csv")[identifier]
    return json.loads(row["inputs"]), json.loads(row["expected"])


def agrees(identifier: str) -> bool:
    """Whether the row says that the print follows from its counts."""
    return published(identifier)["agrees"].startswith("yes")


def disagrees(identifier: str) -> bool:
    return published(identifier)["agrees"].startswith(("no", "expected disagreement"))
