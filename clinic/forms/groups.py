"""In which order and company the fields of a subject are asked: as a nurse meets them."""

from __future__ import annotations

from clinic.nursing_columns import RED_FLAGS, SCORED_SIGNS, TECHNIQUE_ITEMS

Groups = tuple[tuple[str, tuple[str, ...]], ...]

# Fields that no group names follow in a group without a title, in the order of the record.
GROUPS: dict[str, Groups] = {
    "peritonitis": (
        (
            "What happened",
            ("onset_on", "presented_at", "cloudy_effluent", "abdominal_pain", "exchange_place"),
        ),
        ("Treatment", ("first_antibiotic_at", "appropriate_antibiotic_at", "therapy_completed_on")),
        ("How it ended", ("resolved", "judged_refractory", "judged_source")),
        ("The catheter", ("catheter_decision", "catheter_decided_on")),
        ("Nothing more will come", ("closed_as", "closed_because")),
        ("For the record", ("found_by", "note", "episode")),
    ),
    "effluent_samples": (
        ("The sample", ("collected_at", "antibiotics_before", "appearance", "dwell_hours")),
        ("The count", ("leucocytes_per_ul", "neutrophil_percent")),
        ("On its way", ("volume_ml", "bottles_inoculated", "reached_laboratory_at")),
        ("The culture", ("culture", "gram_stain")),
        ("For the record", ("sample",)),
    ),
    "catheter_infections": (
        ("What was found", ("onset_on", "site", "purulent_discharge", "redness")),
        ("The tunnel", ("tunnel_inflammation", "tunnel_collection")),
        ("Culture and treatment", ("organism", "therapy_completed_on", "refractory")),
        ("For the record", ("infection",)),
    ),
    "calls": (
        ("Any of these now?", RED_FLAGS),
        ("The call", ("called_at", "caller", "expected_at", "said_back")),
        (
            "Questions",
            ("first_cloudy_at", "pain_score", "fever", "last_dwell_hours", "happened", "lots"),
        ),
    ),
    "exit_site_checks": (
        ("The visit", ("checked_on", "purulent_discharge", "appearance")),
        ("The score", SCORED_SIGNS),
        ("The tunnel", ("tunnel_inflammation", "tunnel_collection")),
    ),
    "technique_observations": (
        ("Who and when", ("observed_on", "observer", "learner")),
        ("The exchange", TECHNIQUE_ITEMS),
    ),
    "root_cause_reviews": (
        ("The judgement", ("reviewed_on", "route", "certainty", "preventable", "factors")),
        ("What follows", ("action", "owner", "due_on", "closed_on")),
    ),
    "trainings": (
        ("The training", ("kind", "started_on", "completed_on", "sessions", "hours", "place")),
        ("Who", ("trainer", "learner", "language")),
        ("Signed off", ("knowledge_check", "home_visit", "competent", "first_alone_on")),
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
            ("episode", "exchange_place"),
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
            ("sample", "volume_ml"),
            ("sample", "bottles_inoculated"),
            ("sample", "reached_laboratory_at"),
        ),
    ),
    ("The culture", (("sample", "culture"), ("sample", "gram_stain"), ("isolate", "organism"))),
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
