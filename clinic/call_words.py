"""A call in words: its head, what the red flags say, who still waits."""

from __future__ import annotations

from datetime import datetime

from clinic.columns import SUBJECTS
from clinic.forms.words import choice_label, choice_words
from clinic.lineage import clinic_of
from clinic.models import Call, Patient, PdSpell
from clinic.nursing_columns import RED_FLAGS
from clinic.reading import day_text

_NUMBERS = ("none", "one", "two", "three", "four", "all five")
_MODALITIES = {"capd": "CAPD", "apd": "APD"}
_HELPERS = {"self": "no helper", "family": "a relative helps", "nurse": "a nurse helps"}
_ANSWERS = (("yes", "yes"), ("no", "no"), ("unknown", "not known"), ("", "not asked"))


def _asks() -> dict[str, str]:
    return {name: SUBJECTS["calls"].column(name).ask for name in RED_FLAGS}


def flags_up(call: Call) -> list[str]:
    return [ask for name, ask in _asks().items() if getattr(call, name) == "yes"]


def flags_finding(call: Call) -> str:
    """The first sentence of the second step."""
    if up := flags_up(call):
        return f"Red flag: {', '.join(up).lower()}. Send the patient at once."
    if any(getattr(call, name) != "no" for name in RED_FLAGS):
        return "No red flag so far."
    return "No red flag. The patient can come in."


def flags_counted(call: Call) -> str:
    """Four no, one not known: ask again on arrival about diabetes: sugar out of hand."""
    given = [getattr(call, name) for name in RED_FLAGS]
    counts = [
        f"{_NUMBERS[given.count(value)]} {said}" for value, said in _ANSWERS if value in given
    ]
    open_ = [ask.lower() for name, ask in _asks().items() if getattr(call, name) in ("", "unknown")]
    text = ", ".join(counts)
    asked = f" Ask again on arrival: {'; '.join(open_)}." if open_ else ""
    return f"{text[0].upper()}{text[1:]}.{asked}"


def clock_text(call: Call, moment: datetime) -> str:
    return f"{moment.astimezone(clinic_of(call).zone):%H:%M}"


def expected_text(call: Call) -> str:
    """08:00, with the day if it is another one."""
    if call.expected_at is None:
        return ""
    zone = clinic_of(call).zone
    local, called = call.expected_at.astimezone(zone), call.called_at.astimezone(zone)
    clock = f"{local:%H:%M}"
    return clock if local.date() == called.date() else f"{clock} on {day_text(local.date())}"


def patient_in_words(patient: Patient) -> str:
    """TQ-052, APD, no helper."""
    spell = PdSpell.objects.filter(patient=patient, withdrawn_at=None).order_by("started_on").last()
    said = [patient.number]
    if spell is not None and spell.last_day_on is None:
        said += [_MODALITIES.get(spell.modality, ""), _HELPERS.get(spell.assistance, "")]
    return ", ".join(filter(None, said))


def detail(call: Call) -> str:
    """What was told, in a few words: line dropped, tip touched, loose cap; dwell 1.5 hours."""
    said = []
    if call.happened and call.happened != "none":
        said.append(choice_words(SUBJECTS["calls"].column("happened"), call.happened))
    if call.last_dwell_hours is not None:
        said.append(f"dwell {call.last_dwell_hours:g} hours")
    if up := flags_up(call):
        said.insert(0, f"red flag: {', '.join(up).lower()}")
    return (
        "; ".join(said) or f"called by: {choice_label('caller', call.caller or 'unknown').lower()}"
    )
