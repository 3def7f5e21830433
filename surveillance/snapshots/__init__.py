"""Stored results: made as drafts, read by pages and files, frozen and signed by people."""

from surveillance.snapshots.drafts import compute_draft, is_latest_draft, latest_snapshot
from surveillance.snapshots.read import periods, table_bytes, table_rows, whole_table
from surveillance.snapshots.refusals import (
    AlreadyPrepared,
    NewerFigures,
    NotEnded,
    NotNow,
    NotPrepared,
    SamePerson,
)
from surveillance.snapshots.sign_off import prepare_quarter, return_quarter, sign_quarter
from surveillance.snapshots.store import store

__all__ = [
    "AlreadyPrepared",
    "NewerFigures",
    "NotEnded",
    "NotNow",
    "NotPrepared",
    "SamePerson",
    "compute_draft",
    "is_latest_draft",
    "latest_snapshot",
    "periods",
    "prepare_quarter",
    "return_quarter",
    "sign_quarter",
    "store",
    "table_bytes",
    "table_rows",
    "whole_table",
]
