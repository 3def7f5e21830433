"""Every row of the two files of outside figures is a test here, or is listed with the reason."""

import ast
from functools import cache
from pathlib import Path

import pytest

from tests.published.given_rows import given_rows
from tests.published.test_lexis_splits import examples as lexis_examples
from tests.published.test_worked_examples import examples as function_examples

# Rows that nobody can recompute from what is open.
NOT_RECOMPUTABLE = {
    "R07": "medians and a negative binomial mean of 49 children: no counts a patient are printed",
    "diet-05": "the split by age needs the 337 men's dates, which no PyPI package carries; "
    "test_diet.py checks that its bands add up to the whole",
    "dmlate-01": "the split needs 9,996 persons' dates, which no PyPI package carries; "
    "test_diet.py checks that its bands add up to the whole",
}
# Read from their file as a whole, so that no test names them one by one.
READ_BY_METHOD = {row["id"] for row in function_examples()} | {
    row["id"] for method in ("lexis_split", "lexis_split_formula") for row in lexis_examples(method)
}
ROWS = [*given_rows("published_checks.csv"), *given_rows("worked_examples.csv")]


@cache
def named() -> set[str]:
    """Texts in the code of the tests of this folder: an id in a comment is no test."""
    found: set[str] = set()
    for path in Path(__file__).parent.glob("test_*.py"):
        if path.name != Path(__file__).name:
            tree = ast.parse(path.read_text(encoding="utf-8"))
            nodes = (node for node in ast.walk(tree) if isinstance(node, ast.Constant))
            found |= {node.value for node in nodes if isinstance(node.value, str)}
    return found


@pytest.mark.parametrize("identifier", ROWS)
def test_a_row_is_checked_or_listed_with_the_reason(identifier: str) -> None:
    assert identifier in named() | READ_BY_METHOD | set(NOT_RECOMPUTABLE)


def test_the_list_of_reasons_names_only_rows_that_exist() -> None:
    assert set(NOT_RECOMPUTABLE) <= set(ROWS)


def test_no_row_has_the_name_of_another() -> None:
    assert len(ROWS) == len(set(ROWS)) > 260
