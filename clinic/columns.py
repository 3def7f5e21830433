"""The record, column by column: models, forms, files and the data dictionary follow from here."""

from __future__ import annotations

from clinic.column_kinds import YES_NO, Column, Kind, Subject

__all__ = ["SUBJECTS", "YES_NO", "Column", "Kind", "Subject", "file_columns", "parent_keys"]


def _text(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "text", meaning, ask, **more)  # type: ignore[arg-type]


def _day(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "day", meaning, ask, **more)  # type: ignore[arg-type]


def _moment(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "moment", meaning, ask, **more)  # type: ignore[arg-type]


def _yes_no(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "yes_no", meaning, ask, choices=YES_NO, **more)  # type: ignore[arg-type]


def _choice(name: str, choices: str, ask: str, meaning: str, **more: object) -> Column:
    listed = tuple(choices.split())
    return Column(name, "choice", meaning, ask, choices=listed, **more)  # type: ignore[arg-type]


CLINICS = Subject(
    "clinics",
    "clinic",
    "",
    (
        _text("name", "Name", "The clinic's name, as every file writes it.", required=True),
        _text("time_zone", "Time zone", "IANA time zone of the clinic's days.", required=True),
        _text("network", "Network", "The network that adds this clinic's counts to others'."),
    ),
)

PATIENTS = Subject(
    "patients",
    "patient",
    "clinics",
    (
        _day("birth_date", "Date of birth", "The day the patient was born."),
        _choice("sex", "female male other", "Sex", "Sex as recorded."),
        _yes_no("diabetes", "Diabetes", "Whether the patient has diabetes."),
        _day("died_on", "Died on", "The day the patient died; that day still counts."),
    ),
    order=(("birth_date", "died_on"),),
)

PD_SPELLS = Subject(
    "pd_spells",
    "PD spell",
    "patients",
    (
        _day("started_on", "First day", "First day on PD in this clinic.", required=True, key=True),
        _day("last_day_on", "Last day", "Last day on PD; empty while PD goes on."),
        _choice("modality", "capd apd", "Modality", "How the exchanges are made."),
        _choice("assistance", "self family nurse", "Who connects", "Who makes the connections."),
        _choice(
            "end_reason",
            "death transplant haemodialysis recovery moved lost",
            "Why it ended",
            "Why the spell ended.",
        ),
    ),
    order=(("started_on", "last_day_on"),),
)

PD_PAUSES = Subject(
    "pd_pauses",
    "pause",
    "patients",
    (
        _day(
            "started_on", "First day without PD", "First day without PD.", required=True, key=True
        ),
        _day("last_day_on", "Last day without PD", "Last day without PD; empty while it goes on."),
        _choice(
            "reason",
            "temporary_haemodialysis catheter_rest travel other",
            "Why",
            "Why PD paused; only the first two stop the days at risk.",
        ),
    ),
    order=(("started_on", "last_day_on"),),
)

CATHETERS = Subject(
    "catheters",
    "catheter",
    "patients",
    (
        _text("catheter", "Catheter", "The clinic's name for it.", required=True, key=True),
        _day("inserted_on", "Inserted on", "The day it was inserted.", required=True),
        _choice(
            "insertion_method",
            "open laparoscopic percutaneous other",
            "How inserted",
            "How the catheter was inserted.",
        ),
        _day("removed_on", "Removed on", "The day it was removed; empty while in place."),
        _choice(
            "removal_reason",
            "peritonitis catheter_infection mechanical not_needed other",
            "Why removed",
            "Why the catheter was removed.",
        ),
    ),
    order=(("inserted_on", "removed_on"),),
)

TRAININGS = Subject(
    "trainings",
    "training",
    "patients",
    (
        _day("started_on", "First session on", "First day of the training."),
        _day(
            "completed_on",
            "Completed on",
            "Last day of the training; its clock starts here.",
            required=True,
            key=True,
        ),
        _choice(
            "kind",
            "initial scheduled triggered",
            "Kind",
            "Initial, a scheduled reassessment, or triggered by an event.",
            required=True,
            key=True,
        ),
        _text("trainer", "Trainer", "Code of the trainer.", key=True),
        _choice("learner", "patient helper", "Who learnt", "Who was trained."),
        Column("hours", "number", "Hours of training.", "Hours", above=0, unit="hours"),
        _yes_no("competent", "Competent", "Whether the learner was signed off as competent."),
    ),
    order=(("started_on", "completed_on"),),
)

PERITONITIS = Subject(
    "peritonitis",
    "peritonitis episode",
    "patients",
    (
        _text("episode", "Episode", "The clinic's name for it.", required=True, key=True),
        _day(
            "onset_on", "First symptom or cloudy bag on", "Day of the first symptom or cloudy bag."
        ),
        _moment("presented_at", "Presented at", "When the patient reached care."),
        _yes_no("cloudy_effluent", "Cloudy effluent", "Whether the drained fluid was cloudy."),
        _yes_no("abdominal_pain", "Abdominal pain", "Whether there was abdominal pain."),
        _moment("first_antibiotic_at", "First antibiotic at", "First dose of any antibiotic."),
        _moment(
            "appropriate_antibiotic_at",
            "First appropriate antibiotic at",
            "First dose of an antibiotic that covers the organism.",
        ),
        _day("therapy_completed_on", "Last dose on", "Day of the last antibiotic dose."),
        _choice(
            "judged_source",
            "touch catheter enteric procedure haematogenous other",
            "Source, as judged",
            "Where a named person judges that it came from.",
        ),
        _yes_no("judged_refractory", "Refractory, as judged", "Whether judged refractory."),
        _choice(
            "found_by",
            "clinic hospital laboratory pharmacy other",
            "Found by",
            "Who told the clinic of the episode.",
        ),
        _yes_no("resolved", "Resolved", "Whether the episode resolved completely."),
    ),
    order=(("onset_on", "therapy_completed_on"),),
)

EFFLUENT_SAMPLES = Subject(
    "effluent_samples",
    "effluent sample",
    "peritonitis",
    (
        _text(
            "sample", "Sample", "The clinic's or laboratory's name for it.", required=True, key=True
        ),
        _moment("collected_at", "Collected at", "When the sample was drained."),
        Column(
            "dwell_hours",
            "number",
            "Hours the fluid dwelt.",
            "Dwell",
            minimum=0,
            maximum=72,
            unit="hours",
        ),
        Column(
            "leucocytes_per_ul",
            "whole",
            "White cells per microlitre.",
            "White cells",
            minimum=0,
            maximum=500_000,
            unit="per µL",
        ),
        Column(
            "neutrophil_percent",
            "number",
            "Share of neutrophils among the white cells.",
            "Neutrophils",
            minimum=0,
            maximum=100,
            unit="%",
        ),
        _choice("appearance", "clear cloudy other", "Appearance", "How the fluid looked."),
        _choice(
            "culture", "grown no_growth not_taken pending", "Culture", "What the culture showed."
        ),
        _yes_no(
            "antibiotics_before",
            "Antibiotics before sampling",
            "Whether an antibiotic was given before the sample.",
        ),
    ),
)

ISOLATES = Subject(
    "isolates",
    "isolate",
    "effluent_samples",
    (
        Column(
            "organism", "organism", "The organism that grew.", "Organism", required=True, key=True
        ),
    ),
)

SUSCEPTIBILITIES = Subject(
    "susceptibilities",
    "susceptibility",
    "isolates",
    (
        _text("agent", "Agent", "The antibiotic that was tested.", required=True, key=True),
        _choice(
            "result", "S I R", "Result", "Susceptible, increased dose, resistant.", required=True
        ),
    ),
)

CATHETER_INFECTIONS = Subject(
    "catheter_infections",
    "exit-site or tunnel infection",
    "patients",
    (
        _text("infection", "Infection", "The clinic's name for it.", required=True, key=True),
        _choice("site", "exit_site tunnel both", "Site", "Where the infection is.", required=True),
        _day("onset_on", "Onset on", "Day of the first sign.", required=True),
        _yes_no("purulent_discharge", "Pus at the exit site", "Whether pus was seen; pus decides."),
        _yes_no("redness", "Redness", "Whether the exit site was red; redness alone never counts."),
        _yes_no("tunnel_inflammation", "Tunnel inflamed", "Whether the tunnel was inflamed."),
        _yes_no("tunnel_collection", "Fluid along the tunnel", "Whether ultrasound showed fluid."),
        _day("therapy_completed_on", "Last dose on", "Day of the last antibiotic dose."),
        Column(
            "organism",
            "organism",
            "The organism, or no_growth; empty = not cultured.",
            "Organism (or no growth)",
        ),
        _yes_no("refractory", "Refractory", "Whether it did not respond to treatment."),
    ),
    order=(("onset_on", "therapy_completed_on"),),
)

ADMISSIONS = Subject(
    "admissions",
    "admission",
    "patients",
    (
        _day("admitted_on", "Admitted on", "First hospital day.", required=True, key=True),
        _day("discharged_on", "Discharged on", "Last hospital day; empty while it goes on."),
        _text("episode", "For the episode", "The peritonitis episode that led to it."),
    ),
    order=(("admitted_on", "discharged_on"),),
)

CONTAMINATIONS = Subject(
    "contaminations",
    "contamination",
    "patients",
    (
        _moment("happened_at", "Happened at", "When it happened.", required=True, key=True),
        _choice(
            "kind",
            "dry wet",
            "Kind",
            "Dry: clamp closed. Wet: open, or fluid ran in.",
            required=True,
        ),
        _yes_no("prophylaxis", "Prophylaxis given", "Whether an antibiotic was given at once."),
    ),
)

# Parents stand before their children: load in this order.
SUBJECTS: dict[str, Subject] = {
    subject.name: subject
    for subject in (
        CLINICS,
        PATIENTS,
        PD_SPELLS,
        PD_PAUSES,
        CATHETERS,
        TRAININGS,
        PERITONITIS,
        EFFLUENT_SAMPLES,
        ISOLATES,
        SUSCEPTIBILITIES,
        CATHETER_INFECTIONS,
        ADMISSIONS,
        CONTAMINATIONS,
    )
}

# The cells that lead from any row to its parent, in the order of the file.
_PARENT_KEYS: dict[str, tuple[str, ...]] = {
    "": ("clinic",),
    "clinics": ("clinic", "patient"),
    "patients": ("clinic", "patient"),
    "peritonitis": ("clinic", "patient", "episode"),
    "effluent_samples": ("clinic", "patient", "episode", "sample"),
    "isolates": ("clinic", "patient", "episode", "sample", "organism"),
}


def parent_keys(subject: Subject) -> tuple[str, ...]:
    """The cells that come first in the subject's file: whose row it is (clinic, patient, ...)."""
    return _PARENT_KEYS[subject.parent]


def file_columns(subject: Subject) -> tuple[str, ...]:
    """Header of the subject's record file: whose row it is, then its own columns."""
    return (*parent_keys(subject), *(column.name for column in subject))
