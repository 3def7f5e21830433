"""In which order and company the fields of a subject are asked: as a nurse meets them."""

from __future__ import annotations

Groups = tuple[tuple[str, tuple[str, ...]], ...]

# Fields that no group names follow in a group without a title, in the order of the record.
GROUPS: dict[str, Groups] = {
    "peritonitis": (
        ("What happened", ("onset_on", "presented_at", "cloudy_effluent", "abdominal_pain")),
        ("Treatment", ("first_antibiotic_at", "appropriate_antibiotic_at", "therapy_completed_on")),
        ("How it ended", ("resolved", "judged_refractory", "judged_source")),
        ("For the record", ("found_by", "episode")),
    ),
    "effluent_samples": (
        ("The sample", ("collected_at", "antibiotics_before", "appearance", "dwell_hours")),
        ("The count", ("leucocytes_per_ul", "neutrophil_percent")),
        ("The culture", ("culture",)),
        ("For the record", ("sample",)),
    ),
    "catheter_infections": (
        ("What was found", ("onset_on", "site", "purulent_discharge", "redness")),
        ("The tunnel", ("tunnel_inflammation", "tunnel_collection")),
        ("Culture and treatment", ("organism", "therapy_completed_on", "refractory")),
        ("For the record", ("infection",)),
    ),
}
# At first contact nobody knows yet how it ended: fields of the episode, its sample, its isolate.
FIRST_CONTACT: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    (
        "What happened",
        (
            ("episode", "onset_on"),
            ("episode", "presented_at"),
            ("episode", "cloudy_effluent"),
            ("episode", "abdominal_pain"),
        ),
    ),
    (
        "The first sample",
        (
            ("sample", "collected_at"),
            ("sample", "antibiotics_before"),
            ("sample", "appearance"),
            ("sample", "dwell_hours"),
            ("sample", "leucocytes_per_ul"),
            ("sample", "neutrophil_percent"),
        ),
    ),
    ("The culture", (("sample", "culture"), ("isolate", "organism"))),
    ("Treatment", (("episode", "first_antibiotic_at"),)),
    (
        "For the record",
        (("episode", "found_by"), ("episode", "episode"), ("sample", "sample")),
    ),
)


def groups_of(subject: str, names: list[str]) -> Groups:
    """Groups of the subject, each with the fields that this form has; none is left out."""
    chosen = [
        (title, tuple(name for name in members if name in names))
        for title, members in GROUPS.get(subject, ())
    ]
    named = {name for _, members in chosen for name in members}
    rest = tuple(name for name in names if name not in named)
    return tuple(group for group in (*chosen, ("", rest)) if group[1])
