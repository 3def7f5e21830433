"""The day that tests of Today stand on, and days and moments before it."""

from datetime import UTC, date, datetime, timedelta

DAY = date(2026, 1, 20)


def ago(days: int) -> date:
    return DAY - timedelta(days=days)


def at(days: int) -> datetime:
    return datetime.combine(ago(days), datetime.min.time(), UTC).replace(hour=9)
