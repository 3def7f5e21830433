"""What the database itself refuses: to change an audit event or a frozen snapshot."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper


@dataclass(frozen=True)
class Refusal:
    """A trigger: before this event on this table, if the condition holds, say the sentence."""

    name: str
    table: str
    event: str  # INSERT, UPDATE or DELETE
    condition: str  # SQL that both vendors understand, on OLD and NEW
    sentence: str


def _changes(*columns: str) -> str:
    return " OR ".join(f"OLD.{column} IS DISTINCT FROM NEW.{column}" for column in columns)


def _frozen(row: str) -> str:
    return (
        "EXISTS (SELECT 1 FROM surveillance_snapshot s "
        f"WHERE s.id = {row}.snapshot_id AND s.state <> 'draft')"
    )


_AUDIT = "clinic_auditevent"
_SNAPSHOT = "surveillance_snapshot"
_TABLE = "surveillance_snapshottable"
_NEXT_STATES = "'prepared>returned', 'prepared>signed', 'signed>superseded'"
_FIGURES = (
    "uid", "clinic_id", "through", "rule_set", "as_of", "data_version", "software_version",
    "made_at", "digest", "prepared_by_id", "prepared_at", "prepared_reason",
)  # fmt: skip
_SIGNATURE = ("version", "signed_by_id", "signed_at")

REFUSALS = (
    Refusal("audit_event_stays", _AUDIT, "UPDATE", "TRUE", "an audit event is never changed"),
    Refusal("audit_event_kept", _AUDIT, "DELETE", "TRUE", "an audit event is never deleted"),
    Refusal(
        "snapshot_kept", _SNAPSHOT, "DELETE", "OLD.state <> 'draft'",
        "a frozen snapshot is never deleted",
    ),
    Refusal(
        "snapshot_stays", _SNAPSHOT, "UPDATE",
        f"OLD.state <> 'draft' AND ((OLD.state || '>' || NEW.state) NOT IN ({_NEXT_STATES})"
        f" OR {_changes(*_FIGURES)} OR (OLD.state = 'signed' AND ({_changes(*_SIGNATURE)})))",
        "a frozen snapshot is never changed",
    ),
    Refusal(
        "snapshot_prepared_first", _SNAPSHOT, "UPDATE",
        "OLD.state = 'draft' AND NEW.state NOT IN ('draft', 'prepared')",
        "a draft is prepared before anything else",
    ),
    Refusal("table_stays", _TABLE, "UPDATE", "TRUE", "a stored table is never changed"),
    Refusal("table_kept", _TABLE, "DELETE", _frozen("OLD"), "a frozen table is never deleted"),
    Refusal("table_in_time", _TABLE, "INSERT", _frozen("NEW"), "a frozen snapshot takes no table"),
)  # fmt: skip


_SQLITE_TRIGGER = """
CREATE TRIGGER {0.name} BEFORE {0.event} ON {0.table} WHEN {0.condition}
BEGIN SELECT RAISE(ABORT, '{0.sentence}'); END"""
_POSTGRESQL_FUNCTION = """
CREATE OR REPLACE FUNCTION {0.name}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF {0.condition} THEN
        RAISE EXCEPTION '{0.sentence}' USING ERRCODE = 'check_violation';
    END IF;
    RETURN COALESCE(NEW, OLD);
END $$"""
_POSTGRESQL_TRIGGER = """
CREATE TRIGGER {0.name} BEFORE {0.event} ON {0.table}
FOR EACH ROW EXECUTE FUNCTION {0.name}()"""
# TRUNCATE passes row triggers by; SQLite has no such statement.
_NEVER_TRUNCATED = """
CREATE OR REPLACE FUNCTION never_truncated() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'this table is never emptied' USING ERRCODE = 'check_violation';
END $$"""
_TRUNCATE_TRIGGER = """
CREATE TRIGGER {0}_never_truncated BEFORE TRUNCATE ON {0}
FOR EACH STATEMENT EXECUTE FUNCTION never_truncated()"""


def _run(on: BaseDatabaseWrapper, statements: list[str]) -> None:
    with on.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def install(on: BaseDatabaseWrapper = connection) -> None:
    """Put every refusal in place; a migration calls this, and `lifted` when it ends."""
    if on.vendor == "sqlite":
        _run(on, [_SQLITE_TRIGGER.format(refusal) for refusal in REFUSALS])
        return
    for refusal in REFUSALS:
        _run(on, [_POSTGRESQL_FUNCTION.format(refusal), _POSTGRESQL_TRIGGER.format(refusal)])
    truncations = [_TRUNCATE_TRIGGER.format(table) for table in (_AUDIT, _SNAPSHOT, _TABLE)]
    _run(on, [_NEVER_TRUNCATED, *truncations])


def remove(on: BaseDatabaseWrapper = connection) -> None:
    if on.vendor == "sqlite":
        _run(on, [f"DROP TRIGGER IF EXISTS {refusal.name}" for refusal in REFUSALS])
        return
    named = [(refusal.name, refusal.table) for refusal in REFUSALS]
    named += [(f"{table}_never_truncated", table) for table in (_AUDIT, _SNAPSHOT, _TABLE)]
    _run(on, [f"DROP TRIGGER IF EXISTS {name} ON {table}" for name, table in named])


@contextmanager
def lifted(on: BaseDatabaseWrapper = connection) -> Iterator[None]:
    """Without the refusals, for what empties a test database or restores a back-up.

    A flush deletes (SQLite) or truncates (PostgreSQL) every table, so a transactional or a
    live-server test needs this around its clean-up.
    """
    remove(on)
    try:
        yield
    finally:
        install(on)
