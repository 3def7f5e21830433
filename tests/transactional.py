"""Lets transactional tests empty the database, which append-only tables otherwise refuse."""

from collections.abc import Iterator
from unittest.mock import patch

import pytest
from django.test import TransactionTestCase

from surveillance.append_only import lifted

_empty = TransactionTestCase._fixture_teardown


def _empty_without_refusals(case: TransactionTestCase) -> None:
    with lifted():
        _empty(case)


@pytest.fixture(autouse=True, scope="session")
def append_only_steps_aside() -> Iterator[None]:
    """A flush deletes or truncates every table; the triggers stand again before the next test."""
    with patch.object(TransactionTestCase, "_fixture_teardown", _empty_without_refusals):
        yield
