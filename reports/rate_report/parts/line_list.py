"""Part 5, line list: every episode under a pseudonym, counted or not, with its reason code."""

from __future__ import annotations

from datetime import date

from reports.rate_report.dissents import dissents_for
from reports.rate_report.material import Material
from reports.rate_report.number_text import counted_text
from reports.rate_report.part import Field, Part, Table, text, whole
from reports.rate_report.parts.outside import NOT_FOR_OUTSIDE
from reports.rate_report.period_text import month_text, period_text
from reports.rate_report.pseudonyms import pseudonymised_cases
from surveillance.words import JUDGED, reason_text, sequence_text

Cells = dict[str, str]
_FLAG = "yes or no; empty = not asked of this row"
_CRITERION = "met, not_met, not_assessable; empty = not a peritonitis row"


def _flag(name: str, head: str = "") -> Field:
    return text(name, _FLAG, head, 1)


FIELDS = (
    text("period", "period that holds the onset", "Period", 3),
    text("patient", "pseudonym", "Patient", 2),
    text("episode", "pseudonym of the episode or infection", "Episode", 2),
    text("kind", "peritonitis, exit_site or tunnel", "Kind", 2),
    text("onset_month", "month of onset", "Onset", 2),
    whole("onset_day_of_pd", "days since PD began; negative = before it", "Day of PD", 1),
    text("clinical_criterion", _CRITERION, "Clinical", 1),
    text("cell_criterion", _CRITERION, "Cells", 1),
    text("culture_criterion", _CRITERION, "Culture", 1),
    text("confirmed", "confirmed, not_confirmed or unconfirmed", "", 2),
    text("culture_group", "positive, culture_pending, culture_negative or not_cultured", "", 2),
    text("organism_group", "exclusive class", "Organism class", 3),
    text("organism_groups", "groups of all organisms, joined by ;", "", 3),
    text("timing", "pre_pd or pd_associated", "", 2),
    text("insertion_related", "yes, no or unknown", "", 1),
    text("sequence", "class beside earlier episodes; confirmed rows only", "Class", 2),
    text("index_episode", "the earlier episode that decided the class", "Index", 2),
    whole("gap_days", "onset minus the index episode's therapy end", "", 1),
    _flag("catheter_related"), _flag("medical_cure", "Cure"), _flag("refractory"),
    _flag("catheter_removed"), _flag("haemodialysis_transfer"), _flag("died"), _flag("admitted"),
    text("counts", "yes or no", "", 1),
    text("reason", "reason code", "Counted or not, and why", 4),
    text("source", "who found it, as recorded; empty = not recorded", "", 2),
    whole("entered_after_days", "days from onset to entry; empty = not known", "", 2),
    text("last_changed_month", "month of the last change of its row; empty = not known", "", 2),
)  # fmt: skip
DISSENTS = (
    text("period", "period", "Period", 2),
    text("patient", "pseudonym", "Patient", 2),
    text("episode", "pseudonym of the episode", "Episode", 2),
    text("onset_month", "month of onset", "Onset", 2),
    text("sequence", "the class as derived", "As derived", 2),
    text("dissent", "the class that a named person of the clinic holds for right", "As held", 2),
)


def part(m: Material) -> Part:
    if m.to.is_outside:
        return Part(5, "line_list", "Line list", NOT_FOR_OUTSIDE)
    rows = lines_of(m)
    table = Table("line_list", "Every episode", FIELDS, rows, shown=[_shown(row) for row in rows])
    says = tuple(_counted_text(period, rows) for period in m.held)
    return Part(5, "line_list", "Line list", says, (table, *_dissents(m)))


def lines_of(m: Material) -> list[Cells]:
    """The rows of every period held; one episode stands in each period that holds its onset."""
    return [row for period in m.held for row in _rows(m, period)]


def _rows(m: Material, period: str) -> list[Cells]:
    found = [row | _beside(m, row, period) for row in m.lists("cases", period)]
    if not found:
        return []
    _, hidden = pseudonymised_cases(tuple(found[0]), found, m.to.key)
    return [{one.name: row[one.name] for one in FIELDS} for row in hidden]


def _beside(m: Material, row: Cells, period: str) -> Cells:
    return {"period": period, "onset_day_of_pd": _day_of_pd(m, row)} | m.entry(row)


def _day_of_pd(m: Material, row: Cells) -> str:
    began = m.pd_began.get(row["patient"])
    if began is None:
        return ""
    return str((date.fromisoformat(row["onset_on"]) - date.fromisoformat(began)).days)


def _counted_text(period: str, rows: list[Cells]) -> str:
    own = [row for row in rows if row["period"] == period]
    listed = counted_text(len(own), "row", "rows")
    return f"{period_text(period)}: {listed}, {sum(row['counts'] == 'yes' for row in own)} counted."


def _shown(row: Cells) -> Cells:
    judged = {name: JUDGED.get(row[name], row[name]) for name in (
        "clinical_criterion", "cell_criterion", "culture_criterion", "medical_cure",
    )}  # fmt: skip
    return row | judged | {
        "period": period_text(row["period"]),
        "kind": row["kind"].replace("_", " "),
        "onset_month": month_text(row["onset_month"]),
        "organism_group": row["organism_group"].replace("_", " "),
        "sequence": sequence_text(row["sequence"]),
        "reason": reason_text(row["reason"], row["kind"]),
    }  # fmt: skip


def _dissents(m: Material) -> tuple[Table, ...]:
    rows = [
        {one.name: row.get(one.name, period) for one in DISSENTS}
        for period in m.held
        for row in dissents_for(m.snapshot, period, m.to).rows
    ]
    note = "Said by a named person of the clinic; no figure follows it."
    return (Table("dissents", "Disputed classes", DISSENTS, rows, note),)
