"""Database expressions that give the record tables' encodings: numbers, and no date objects."""

from __future__ import annotations

from typing import Any

from django.db.models import BigIntegerField, Func, IntegerField

# Text, because the SQL says them; the same numbers as in surveillance.tables (tested).
NO_DAY = "-2147483648"
NO_MOMENT = "-9223372036854775808"


class DayNumber(Func):
    """A date as whole days since 1970-01-01."""

    output_field = IntegerField()

    def as_sqlite(self, compiler: Any, connection: Any, **context: Any) -> Any:
        days = "CAST(julianday(%(expressions)s) - 2440587.5 AS INTEGER)"
        return self.as_sql(compiler, connection, template=f"COALESCE({days}, {NO_DAY})", **context)

    def as_postgresql(self, compiler: Any, connection: Any, **context: Any) -> Any:
        days = "%(expressions)s - DATE '1970-01-01'"
        return self.as_sql(compiler, connection, template=f"COALESCE({days}, {NO_DAY})", **context)


class Second(Func):
    """A moment as whole seconds since 1970-01-01T00:00Z."""

    output_field = BigIntegerField()

    def as_sqlite(self, compiler: Any, connection: Any, **context: Any) -> Any:
        template = f"COALESCE(unixepoch(%(expressions)s), {NO_MOMENT})"
        return self.as_sql(compiler, connection, template=template, **context)

    def as_postgresql(self, compiler: Any, connection: Any, **context: Any) -> Any:
        seconds = "FLOOR(EXTRACT(EPOCH FROM %(expressions)s))::bigint"
        template = f"COALESCE({seconds}, {NO_MOMENT})"
        return self.as_sql(compiler, connection, template=template, **context)


class YesNo(Func):
    """1 yes, 0 no, -1 unknown or never asked: unknown is not no."""

    template = "CASE %(expressions)s WHEN 'yes' THEN 1 WHEN 'no' THEN 0 ELSE -1 END"
    output_field = IntegerField()
