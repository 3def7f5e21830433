"""The record, column by column: models, forms, files and the data dictionary follow from here."""

from __future__ import annotations

from clinic.column_kinds import YES_NO, Column, Kind, Subject
from clinic.column_makers import choice, day, moment, note, number, text, whole, yes_no
from clinic.nursing_columns import (
    CALLS,
    EXIT_SITE_CHECKS,
    ROOT_CAUSE_REVIEWS,
    TECHNIQUE_OBSERVATIONS,
    THERAPIES,
)

__all__ = ["SUBJECTS", "YES_NO", "Column", "Kind", "Subject", "file_columns", "parent_keys"]


CLINICS = Subject(
    "clinics",
    "clinic",
    "",
    (
        text("name", "Name", "The clinic's name, as every file writes it.", required=True),
        text("time_zone", "Time zone", "IANA time zone of the clinic's days.", required=True),
        text("network", "Network", "The network that adds this clinic's counts to others'."),
    ),
)

PATIENTS = Subject(
    "patients",
    "patient",
    "clinics",
    (
        day("birth_date", "Date of birth", "The day the patient was born."),
        choice("sex", "female male other", "Sex", "Sex as recorded."),
        yes_no("diabetes", "Diabetes", "Whether the patient has diabetes."),
        day("died_on", "Died on", "The day the patient died; that day still counts."),
    ),
    order=(("birth_date", "died_on"),),
)

PD_SPELLS = Subject(
    "pd_spells",
    "PD spell",
    "patients",
    (
        day("started_on", "First day", "First day on PD in this clinic.", required=True, key=True),
        day("last_day_on", "Last day", "Last day on PD; empty while PD goes on."),
        choice("modality", "capd apd", "Modality", "How the exchanges are made."),
        choice("assistance", "self family nurse", "Who connects", "Who makes the connections."),
        choice(
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
        day("started_on", "First day without PD", "First day without PD.", required=True, key=True),
        day("last_day_on", "Last day without PD", "Last day without PD; empty while it goes on."),
        choice(
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
        text("catheter", "Catheter", "The clinic's name for it.", required=True, key=True),
        day("inserted_on", "Inserted on", "The day it was inserted.", required=True),
        choice(
            "insertion_method",
            "open laparoscopic percutaneous other",
            "How inserted",
            "How the catheter was inserted.",
        ),
        day("removed_on", "Removed on", "The day it was removed; empty while in place."),
        choice(
            "removal_reason",
            "peritonitis catheter_infection mechanical not_needed other",
            "Why removed",
            "Why the catheter was removed.",
        ),
        whole(
            "break_in_days",
            "Break-in",
            "Days from insertion to its first use.",
            minimum=0,
            maximum=365,
            unit="days",
            optional=True,
        ),
        yes_no(
            "prophylaxis", "Antibiotic at insertion", "Whether one was given.", optional=True
        ),  # fmt: skip
    ),
    order=(("inserted_on", "removed_on"),),
)

TRAININGS = Subject(
    "trainings",
    "training",
    "patients",
    (
        day("started_on", "First session on", "First day of the training."),
        day(
            "completed_on",
            "Completed on",
            "Last day of the training; its clock starts here.",
            required=True,
            key=True,
        ),
        choice(
            "kind",
            "initial scheduled triggered",
            "Kind",
            "Initial, a scheduled reassessment, or triggered by an event.",
            required=True,
            key=True,
        ),
        text("trainer", "Trainer", "Code of the trainer.", key=True),
        choice("learner", "patient helper", "Who learnt", "Who was trained."),
        number("hours", "Hours", "Hours of training.", above=0, unit="hours"),
        yes_no("competent", "Competent", "Whether the learner was signed off as competent."),
        whole("sessions", "Sessions", "Number of sessions.", minimum=1, maximum=200, optional=True),
        choice("place", "clinic home hospital", "Where", "Where it was held.", optional=True),
        text("language", "Language", "Language it was held in.", optional=True),
        yes_no("knowledge_check", "Knowledge checked", "Whether asked and known.", optional=True),
        yes_no("home_visit", "Home visited", "Whether the home was visited.", optional=True),
        day("first_alone_on", "First exchange alone on", "First exchange alone.", optional=True),
    ),
    order=(("started_on", "completed_on"),),
)

PERITONITIS = Subject(
    "peritonitis",
    "peritonitis episode",
    "patients",
    (
        text("episode", "Episode", "The clinic's name for it.", required=True, key=True),
        day(
            "onset_on", "First symptom or cloudy bag on", "Day of the first symptom or cloudy bag."
        ),
        moment("presented_at", "Presented at", "When the patient reached care."),
        yes_no("cloudy_effluent", "Cloudy effluent", "Whether the drained fluid was cloudy."),
        yes_no("abdominal_pain", "Abdominal pain", "Whether there was abdominal pain."),
        moment("first_antibiotic_at", "First antibiotic at", "First dose of any antibiotic."),
        moment(
            "appropriate_antibiotic_at",
            "First appropriate antibiotic at",
            "First dose of an antibiotic that covers the organism.",
        ),
        day("therapy_completed_on", "Last dose on", "Day of the last antibiotic dose."),
        choice(
            "judged_source",
            "touch catheter enteric procedure haematogenous other",
            "Source, as judged",
            "Where a named person judges that it came from.",
        ),
        yes_no("judged_refractory", "Refractory, as judged", "Whether judged refractory."),
        choice(
            "found_by",
            "clinic hospital laboratory pharmacy other",
            "Found by",
            "Who told the clinic of the episode.",
        ),
        yes_no("resolved", "Resolved", "Whether the episode resolved completely."),
        text(
            "exchange_place",
            "Exchanges elsewhere, at",
            "A place other than home where exchanges were made in the two weeks before.",
            optional=True,
        ),
        choice(
            "catheter_decision",
            "keep remove replace",
            "Catheter, as decided",
            "What was decided about the catheter.",
            optional=True,
        ),
        day("catheter_decided_on", "Decided on", "Day of that decision.", optional=True),
        choice(
            "closed_as",
            "ruled_out undecided",
            "Closed as",
            "A suspected episode of which nothing more will come; it changes no figure.",
            optional=True,
        ),
        text("closed_because", "Closed because", "Why it was closed so.", optional=True),
        note("note", "Note", "Free text; it never leaves the clinic's own pages.", optional=True),
    ),
    order=(("onset_on", "therapy_completed_on"),),
)

EFFLUENT_SAMPLES = Subject(
    "effluent_samples",
    "effluent sample",
    "peritonitis",
    (
        text(
            "sample", "Sample", "The clinic's or laboratory's name for it.", required=True, key=True
        ),
        moment("collected_at", "Collected at", "When the sample was drained."),
        number(
            "dwell_hours", "Dwell", "Hours the fluid dwelt.", minimum=0, maximum=72, unit="hours"
        ),
        whole(
            "leucocytes_per_ul",
            "White cells",
            "White cells per microlitre.",
            minimum=0,
            maximum=500_000,
            unit="per µL",
        ),
        number(
            "neutrophil_percent",
            "Neutrophils",
            "Share of neutrophils among the white cells.",
            minimum=0,
            maximum=100,
            unit="%",
        ),
        choice("appearance", "clear cloudy other", "Appearance", "How the fluid looked."),
        choice(
            "culture", "grown no_growth not_taken pending", "Culture", "What the culture showed."
        ),
        yes_no(
            "antibiotics_before",
            "Antibiotics before sampling",
            "Whether an antibiotic was given before the sample.",
        ),
        whole(
            "volume_ml",
            "Volume sampled",
            "Millilitres of effluent sent.",
            minimum=0,
            maximum=10_000,
            unit="mL",
            optional=True,
        ),
        yes_no(
            "bottles_inoculated",
            "Blood-culture bottles filled at the bedside",
            "Whether blood-culture bottles were inoculated at the bedside.",
            optional=True,
        ),
        moment(
            "reached_laboratory_at",
            "Reached the laboratory at",
            "When it got there.",
            optional=True,
        ),  # fmt: skip
        text("gram_stain", "Gram stain", "What the Gram stain showed.", optional=True),
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
        day("identified_on", "Named on", "Day the laboratory named it.", optional=True),
        choice(
            "certainty",
            "preliminary final",
            "Certainty",
            "Whether the name is preliminary or final.",
            optional=True,
        ),
    ),
)

SUSCEPTIBILITIES = Subject(
    "susceptibilities",
    "susceptibility",
    "isolates",
    (
        text("agent", "Agent", "The antibiotic that was tested.", required=True, key=True),
        choice(
            "result", "S I R", "Result", "Susceptible, increased dose, resistant.", required=True
        ),
    ),
)

CATHETER_INFECTIONS = Subject(
    "catheter_infections",
    "exit-site or tunnel infection",
    "patients",
    (
        text("infection", "Infection", "The clinic's name for it.", required=True, key=True),
        choice("site", "exit_site tunnel both", "Site", "Where the infection is.", required=True),
        day("onset_on", "Onset on", "Day of the first sign.", required=True),
        yes_no("purulent_discharge", "Pus at the exit site", "Whether pus was seen; pus decides."),
        yes_no("redness", "Redness", "Whether the exit site was red; redness alone never counts."),
        yes_no("tunnel_inflammation", "Tunnel inflamed", "Whether the tunnel was inflamed."),
        yes_no("tunnel_collection", "Fluid along the tunnel", "Whether ultrasound showed fluid."),
        day("therapy_completed_on", "Last dose on", "Day of the last antibiotic dose."),
        Column(
            "organism",
            "organism",
            "The organism, or no_growth; empty = not cultured.",
            "Organism (or no growth)",
        ),
        yes_no("refractory", "Refractory", "Whether it did not respond to treatment."),
    ),
    order=(("onset_on", "therapy_completed_on"),),
)

ADMISSIONS = Subject(
    "admissions",
    "admission",
    "patients",
    (
        day("admitted_on", "Admitted on", "First hospital day.", required=True, key=True),
        day("discharged_on", "Discharged on", "Last hospital day; empty while it goes on."),
        text("episode", "For the episode", "The peritonitis episode that led to it."),
    ),
    order=(("admitted_on", "discharged_on"),),
)

CONTAMINATIONS = Subject(
    "contaminations",
    "contamination",
    "patients",
    (
        moment("happened_at", "Happened at", "When it happened.", required=True, key=True),
        choice(
            "kind",
            "dry wet",
            "Kind",
            "Dry: clamp closed. Wet: open, or fluid ran in.",
            required=True,
        ),
        yes_no("prophylaxis", "Prophylaxis given", "Whether an antibiotic was given at once."),
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
        CALLS,
        THERAPIES,
        ROOT_CAUSE_REVIEWS,
        EXIT_SITE_CHECKS,
        TECHNIQUE_OBSERVATIONS,
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
