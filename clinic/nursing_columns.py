"""What the nurse keeps beside the counted record: calls, therapy, checks, observations, reviews.

All of it is optional in record files: a folder without these files and columns loads as before.
"""

from __future__ import annotations

from clinic.column_kinds import Column, Subject
from clinic.column_makers import choice, day, moment, number, several, text, whole, yes_no

# One yes, and the patient is sent at once to where the clinic's own text says.
RED_FLAGS = ("severe_pain", "shivering", "faint", "vomiting", "sugar_out_of_hand")

CALLS = Subject(
    "calls",
    "call",
    "peritonitis",
    (
        moment("called_at", "Called at", "When the call came.", required=True, key=True),
        choice("caller", "patient relative nurse hospital other", "Who calls", "Who called."),
        yes_no("severe_pain", "Severe pain", "Whether the pain was severe."),
        yes_no("shivering", "Shivering", "Whether the patient shivered."),
        yes_no("faint", "Faint, or blood pressure low", "Whether faint or with low pressure."),
        yes_no("vomiting", "Vomiting", "Whether the patient vomited."),
        yes_no(
            "sugar_out_of_hand", "Diabetes: sugar out of hand", "Whether blood sugar was too high."
        ),
        moment("first_cloudy_at", "First cloudy bag at", "When the first cloudy bag was seen."),
        whole(
            "pain_score", "Pain, 0 to 10", "Pain as told, 0 to 10.",
            minimum=0, maximum=10, unit="of 10",
        ),
        yes_no("fever", "Fever", "Whether there was fever."),
        number(
            "last_dwell_hours", "Last dwell before that bag", "Hours of the last dwell.",
            minimum=0, maximum=72, unit="hours",
        ),
        several(
            "happened",
            "touched leak helper_changed bowel procedure exit_site_changed bath_or_swim "
            "pet_or_visitor antibiotics hospital_stay travel none",
            "Did anything happen in the last days?",
            "What happened in the days before, as told.",
        ),
        text("lots", "Batch of bag and cap", "Batch numbers, if a product is suspected."),
        moment("expected_at", "Expected by", "When the patient was asked to come.", to_come=True),
        yes_no("said_back", "Said back by the patient", "Whether the patient repeated it."),
    ),
    optional=True,
)  # fmt: skip

THERAPIES = Subject(
    "therapies",
    "antibiotic",
    "peritonitis",
    (
        text("agent", "Agent", "The antibiotic, by its generic name.", required=True, key=True),
        choice("route", "intraperitoneal oral intravenous other", "Route", "How it was given."),
        day("first_dose_on", "First dose on", "Day of its first dose.", required=True, key=True),
        day(
            "planned_last_dose_on", "Last dose planned on", "Day planned for its last dose.",
            to_come=True,
        ),
        day("last_dose_on", "Last dose on", "Day of its last dose; empty while it is given."),
    ),
    order=(("first_dose_on", "planned_last_dose_on"), ("first_dose_on", "last_dose_on")),
    optional=True,
)  # fmt: skip

ROOT_CAUSE_REVIEWS = Subject(
    "root_cause_reviews",
    "root-cause review",
    "peritonitis",
    (
        day("reviewed_on", "Reviewed on", "Day of the review.", required=True, key=True),
        choice(
            "route",
            "intraluminal connection catheter insertion pre_pd enteric procedure haematogenous "
            "gynaecological environmental health_care product undetermined",
            "Route of infection",
            "The way that the infection took, as judged.",
        ),
        choice(
            "certainty", "confirmed probable possible", "How sure", "How sure the judgement is."
        ),
        choice("preventable", "yes partly no", "Preventable", "Whether it could be prevented."),
        several(
            "factors",
            "staff_change new_helper vision_or_dexterity mood home_conditions supply_change "
            "hospital_stay none",
            "What contributed",
            "Factors that contributed.",
        ),
        text("action", "Action", "What will be done; no patient details."),
        text("owner", "Owner", "Who does it."),
        day("due_on", "Due on", "Day by which it is to be done.", to_come=True),
        day("closed_on", "Closed on", "Day on which it was done; empty while it is open."),
    ),
    order=(("reviewed_on", "due_on"), ("reviewed_on", "closed_on")),
    optional=True,
)

_SCORED = (
    ("swelling", "Swelling"),
    ("crust", "Crust"),
    ("redness", "Redness"),
    ("pain", "Pain on pressure"),
    ("secretion", "Secretion"),
)
SCORED_SIGNS = tuple(name for name, _ in _SCORED)

EXIT_SITE_CHECKS = Subject(
    "exit_site_checks",
    "exit-site check",
    "patients",
    (
        day("checked_on", "Checked on", "Day of the visit.", required=True, key=True),
        yes_no("purulent_discharge", "Pus at the exit site", "Whether pus was seen; pus decides."),
        *(
            choice(name, "0 1 2", ask, f"{ask}, scored 0 to 2; the score alone decides nothing.")
            for name, ask in _SCORED
        ),
        choice(
            "appearance",
            "perfect good equivocal acute chronic external_cuff traumatised",
            "Appearance",
            "The exit site's class of appearance.",
        ),
        yes_no("tunnel_inflammation", "Tunnel inflamed", "Whether the tunnel was inflamed."),
        yes_no("tunnel_collection", "Fluid along the tunnel", "Whether ultrasound showed fluid."),
    ),
    optional=True,
)

# The sixteen items of an exchange, and whether a slip there is critical (our choice:
# common practice, no source).
_ITEMS = (
    ("surface_clean", "Clean dry surface; doors and fans closed, pets out", False),
    ("supplies_gathered", "Supplies gathered", False),
    ("hands_cleaned", "Hands cleaned long enough, dried, not touched again", True),
    ("mask_worn", "Mask, as the clinic asks", False),
    ("bag_checked", "Bag checked: strength, volume, expiry, leak, clear", False),
    ("bag_warmed_dry", "Bag warmed dry, never in water", True),
    ("clamps_closed", "Clamps closed before opening", True),
    ("caps_untouched", "Caps removed without touching", True),
    ("connected_untouched", "Connected at once and without touching", True),
    ("flushed_before_fill", "Flushed before filling, clamps in order", True),
    ("drained_fully", "Drained completely", False),
    ("fluid_inspected", "Drained fluid looked at and described", False),
    ("filled", "Filled", False),
    ("new_cap", "Disconnected with a new sterile cap", True),
    ("line_secured", "Cap tight, line secured", False),
    ("recorded", "Disposal and record", False),
)
TECHNIQUE_ITEMS = tuple(name for name, _, _ in _ITEMS)
CRITICAL_ITEMS = tuple(name for name, _, critical in _ITEMS if critical)


def _item(name: str, ask: str, critical: bool) -> Column:
    said = f"{ask}{' (critical)' if critical else ''}"
    return choice(name, "done prompted not_done not_applicable", said, f"{said}.")


TECHNIQUE_OBSERVATIONS = Subject(
    "technique_observations",
    "technique observation",
    "patients",
    (
        day("observed_on", "Observed on", "Day of the observation.", required=True, key=True),
        text("observer", "Observer", "Code of who observed.", key=True),
        choice("learner", "patient helper", "Who was observed", "Who made the exchange."),
        *(_item(*item) for item in _ITEMS),
    ),
    optional=True,
)
