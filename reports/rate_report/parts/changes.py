"""Part 8, change log: what was entered, amended or withdrawn since the freeze before this one."""

from __future__ import annotations

from typing import Any

from django.db.models import Q

from clinic.models import AuditEvent, Grant, Patient
from reports.rate_report.material import Material
from reports.rate_report.number_text import counted_text
from reports.rate_report.part import Part, Table, text, whole
from reports.rate_report.parts.outside import NOT_FOR_OUTSIDE
from reports.rate_report.period_text import month_text
from reports.rate_report.pseudonyms import pseudonym
from surveillance.models import Snapshot

Cells = dict[str, str]
FIELDS = (
    whole("event", "number in the clinic's audit chain", "Event", 1),
    text("month", "month in which it was done", "Month", 2),
    text("by_role", "role of who did it; names stay in the clinic", "By", 2),
    text("verb", "what was done", "Done", 2),
    text("thing", "subject of the record", "To", 2),
    text("patient", "pseudonym; empty where it is no single patient's", "Patient", 2),
    text("field", "field of the record", "Field", 2),
    text("old", "value before; codes and numbers only, anything else is not printed", "Old", 2),
    text("new", "value after, likewise", "New", 2),
    text("reason_given", "yes if a reason was written; it stays in the clinic", "Reason", 1),
)
NOT_PRINTED = "not printed"
_CODES = (
    "yes", "no", "unknown", "capd", "apd", "self", "family", "nurse", "death", "transplant",
    "haemodialysis", "recovery", "moved", "lost", "temporary_haemodialysis", "catheter_rest",
    "travel", "other", "peritonitis", "catheter_infection", "mechanical", "not_needed", "initial",
    "scheduled", "triggered", "grown", "no_growth", "not_taken", "pending", "clear", "cloudy",
    "exit_site", "tunnel", "both", "dry", "wet", "clinic", "hospital", "laboratory", "pharmacy",
    "S", "I", "R",
)  # fmt: skip
# Of the freeze itself and of reading, which change nothing in the record.
_NO_CHANGE = ("prepare", "sign", "return", "read", "download", "ask")


def part(m: Material) -> Part:
    if m.to.is_outside:
        return Part(8, "changes", "Change log", NOT_FOR_OUTSIDE)
    before = freeze_before(m.snapshot)
    if before is None:
        says = ("No version was frozen before this one, so there is nothing to compare with.",)
        return Part(8, "changes", "Change log since the last freeze", says, (_table([]),))
    rows = [row for event in _events(m, before) for row in _rows(m, event)]
    many = counted_text(len(rows), "change", "changes")
    says = (f"{many} since the freeze of {before.through}, audit event {before.data_version}.",)
    return Part(8, "changes", "Change log since the last freeze", says, (_table(rows),))


def freeze_before(snapshot: Snapshot) -> Snapshot | None:
    """The frozen version whose record state came last before this one's."""
    frozen = Snapshot.objects.filter(
        clinic=snapshot.clinic, rule_set=snapshot.rule_set, data_version__lt=snapshot.data_version
    ).exclude(state="draft")
    return frozen.order_by("-data_version").first()


def _table(rows: list[Cells]) -> Table:
    shown = [row | {"month": month_text(row["month"])} for row in rows]
    return Table("changes", "Changes", FIELDS, rows, shown=shown)


def _events(m: Material, before: Snapshot) -> list[AuditEvent]:
    found = AuditEvent.objects.filter(
        chain__clinic=m.snapshot.clinic, number__gt=before.data_version,
        number__lte=m.snapshot.data_version,
    ).exclude(verb__in=_NO_CHANGE)  # fmt: skip
    return list(found.select_related("by").order_by("number"))


def _rows(m: Material, event: AuditEvent) -> list[Cells]:
    local = event.at.astimezone(m.snapshot.clinic.zone)
    common = {
        "event": str(event.number), "month": f"{local:%Y-%m}", "by_role": _role(m, event),
        "verb": event.verb, "thing": event.thing, "patient": _patient(m, event),
        "reason_given": "yes" if event.reason else "no",
    }  # fmt: skip
    changes = event.changes if isinstance(event.changes, dict) else {}
    fields = [(name, *_pair(value)) for name, value in sorted(changes.items())] or [("", "", "")]
    return [common | {"field": name, "old": old, "new": new} for name, old, new in fields]


def _pair(value: Any) -> tuple[str, str]:
    """Old and new as far as they tell nobody a name, a day or a sentence."""
    if isinstance(value, list) and len(value) == 2:
        return _printed(value[0]), _printed(value[1])
    return "", _printed(value)


def _printed(value: Any) -> str:
    if value is None or value == "":
        return ""
    if isinstance(value, (int, float)) or value in _CODES:
        return str(value)
    return NOT_PRINTED


def _role(m: Material, event: AuditEvent) -> str:
    """The roles that the person held in this clinic on that day; a machine's name otherwise."""
    if event.by_id is None:
        return "schedule" if event.actor == "schedule" else "host"
    day = event.at.astimezone(m.snapshot.clinic.zone).date()
    held = Grant.objects.filter(
        Q(last_day=None) | Q(last_day__gte=day), Q(ended_at=None) | Q(ended_at__gt=event.at),
        person=event.by_id, clinic=m.snapshot.clinic, first_day__lte=day,
    )  # fmt: skip
    return " ".join(sorted(set(held.values_list("role", flat=True)))) or "no role on that day"


def _patient(m: Material, event: AuditEvent) -> str:
    if event.patient_uid is None:
        return ""
    number = Patient.objects.filter(uid=event.patient_uid).values_list("number", flat=True).first()
    if number is None:
        return ""
    return pseudonym(m.to.key, m.snapshot.clinic.code, "patient", number)
