"""The record: one file a subject."""

from clinic.models.audit import AuditChain, AuditEvent
from clinic.models.care import (
    Catheter,
    Contamination,
    ExitSiteCheck,
    PdPause,
    PdSpell,
    TechniqueObservation,
    Training,
)
from clinic.models.clinics import Clinic
from clinic.models.decisions import Decision, DecisionReview
from clinic.models.infections import (
    Admission,
    Call,
    CatheterInfection,
    Peritonitis,
    RootCauseReview,
    Therapy,
)
from clinic.models.judgements import Dissent, SettledGap
from clinic.models.laboratory import EffluentSample, Isolate, Susceptibility
from clinic.models.local_words import ClinicText, LocalOrganismName
from clinic.models.patients import Patient
from clinic.models.people import Grant, Person
from clinic.models.record import RecordRow
from clinic.models.second_judgements import SecondJudgement
from clinic.models.signal_work import SignalEntry, SignalWork
from clinic.models.signing_in import OneTimeLink, OpenSession, SecondFactor
from clinic.models.submissions import Submission
from clinic.models.tokens import Token

# The model of each subject of clinic.columns, parents before children.
MODELS: dict[str, type[RecordRow]] = {
    model.subject.name: model
    for model in (
        Clinic,
        Patient,
        PdSpell,
        PdPause,
        Catheter,
        Training,
        Peritonitis,
        EffluentSample,
        Isolate,
        Susceptibility,
        CatheterInfection,
        Admission,
        Contamination,
        Call,
        Therapy,
        RootCauseReview,
        ExitSiteCheck,
        TechniqueObservation,
    )
}

__all__ = [
    "MODELS",
    "Admission",
    "AuditChain",
    "AuditEvent",
    "Call",
    "Catheter",
    "CatheterInfection",
    "Clinic",
    "ClinicText",
    "Contamination",
    "Decision",
    "DecisionReview",
    "Dissent",
    "EffluentSample",
    "ExitSiteCheck",
    "Grant",
    "Isolate",
    "LocalOrganismName",
    "OneTimeLink",
    "OpenSession",
    "Patient",
    "PdPause",
    "PdSpell",
    "Peritonitis",
    "Person",
    "RecordRow",
    "RootCauseReview",
    "SecondFactor",
    "SecondJudgement",
    "SettledGap",
    "SignalEntry",
    "SignalWork",
    "Submission",
    "Susceptibility",
    "TechniqueObservation",
    "Therapy",
    "Token",
    "Training",
]
