"""Makes a failing record small: takes away every row without which it still fails."""

from collections.abc import Callable

from tests.recount.seen import Row, Rows


def smallest(rows: Rows, fails: Callable[[Rows], bool]) -> Rows:
    """Rows are dropped with all that hangs on them, largest subjects first, until none can go."""
    for file in (
        "clinics",
        "patients",
        *(name for name in rows if name not in ("clinics", "patients")),
    ):
        for row in list(rows[file]):
            fewer = without(rows, file, row)
            if fails(fewer):
                rows = fewer
    return emptied(rows, fails)


def without(rows: Rows, file: str, row: Row) -> Rows:
    """The record less one row and its children: those that name the same subject."""
    keys = {
        "clinics": ["clinic"],
        "patients": ["clinic", "patient"],
        "peritonitis": ["clinic", "patient", "episode"],
        "effluent_samples": ["clinic", "patient", "episode", "sample"],
        "isolates": ["clinic", "patient", "episode", "sample", "organism"],
    }.get(file)
    if keys is None:
        return {**rows, file: [one for one in rows[file] if one is not row]}
    return {
        name: [one for one in found if not hangs_on(one, row, keys)] for name, found in rows.items()
    }


def hangs_on(one: Row, row: Row, keys: list[str]) -> bool:
    return all(key in one and one[key] == row[key] for key in keys)


def emptied(rows: Rows, fails: Callable[[Rows], bool]) -> Rows:
    """Cells that may be empty and do not matter are emptied."""
    for file, found in rows.items():
        for position, row in enumerate(found):
            for name, text in row.items():
                changed = {**rows[file][position], name: ""}
                others = rows[file][:position] + [changed] + rows[file][position + 1 :]
                if text and name not in KEPT and fails({**rows, file: others}):
                    rows = {**rows, file: others}
    return rows


KEPT = (
    "clinic",
    "patient",
    "time_zone",
    "started_on",
    "inserted_on",
    "completed_on",
    "admitted_on",
    "episode",
    "sample",
    "infection",
    "catheter",
    "site",
    "kind",
    "name",
    "collected_at",
    "presented_at",
    "onset_on",
)
