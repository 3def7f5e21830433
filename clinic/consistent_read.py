"""One transaction that sees all of another's load, or nothing of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def consistent_read() -> Iterator[None]:
    """SQLite reads so by itself; PostgreSQL is asked to, unless a transaction already runs."""
    outermost = not connection.in_atomic_block
    with transaction.atomic():
        if outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        yield
