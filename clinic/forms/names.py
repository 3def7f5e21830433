"""Names that the clinic gives to its episodes, samples and catheters: the next one is proposed."""

from __future__ import annotations

from clinic.models import RecordRow

# Column that names a row, and the letter that its names begin with when nothing else is known.
_NAMED = {
    "peritonitis": ("episode", "E"),
    "effluent_samples": ("sample", "S"),
    "catheters": ("catheter", "C"),
    "catheter_infections": ("infection", "X"),
}


def suggested_names(model: type[RecordRow], parent: RecordRow | None) -> dict[str, str]:
    """A free name for the next row under this parent; the nurse may write another."""
    if model.subject.name not in _NAMED:
        return {}
    column, letter = _NAMED[model.subject.name]
    taken: set[str] = set()
    if parent is not None:
        rows = model.objects.filter(**{model.parent_field: parent})
        taken = set(rows.values_list(column, flat=True))
    number = next(n for n in range(1, len(taken) + 2) if f"{letter}{n}" not in taken)
    return {column: f"{letter}{number}"}
