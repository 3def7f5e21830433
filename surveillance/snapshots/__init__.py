"""Stored results: made as drafts, read by pages and files, frozen and signed by people."""

from surveillance.snapshots.drafts import (
    compute_draft,
    is_latest_draft,
    latest_snapshot,
    newest_draft,
)
from surveillance.snapshots.read import (
    periods,
    table_bytes,
    table_rows,
    undivided_rows,
    whole_table,
)
from surveillance.snapshots.refusals import (
    AlreadyPrepared,
    NewerFigures,
    NotEnded,
    NotNow,
    NotPrepared,
    SamePerson,
)
from surveillance.snapshots.restatement import (
    CAUSES,
    amended_by_signer,
    causes_text,
    changed_figures,
    is_restatement_due,
    is_same_record,
    restated,
)
from surveillance.snapshots.sign_off import prepare_quarter, return_quarter, sign_quarter
from surveillance.snapshots.store import store

__all__ = [
    "CAUSES",
    "AlreadyPrepared",
    "NewerFigures",
    "NotEnded",
    "NotNow",
    "NotPrepared",
    "SamePerson",
    "amended_by_signer",
    "causes_text",
    "changed_figures",
    "compute_draft",
    "is_latest_draft",
    "is_restatement_due",
    "is_same_record",
    "latest_snapshot",
    "newest_draft",
    "periods",
    "prepare_quarter",
    "restated",
    "return_quarter",
    "sign_quarter",
    "store",
    "table_bytes",
    "table_rows",
    "undivided_rows",
    "whole_table",
]
