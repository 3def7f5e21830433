"""The case table of one patient, recounted from the record (design 3.1)."""

from datetime import date, timedelta

from tests.recount import criteria
from tests.recount.counting import decide
from tests.recount.days import RiskDays
from tests.recount.organisms import exclusive_class, organism_groups, share_any
from tests.recount.outcomes import set_outcomes, yes_no
from tests.recount.seen import Episode, Infection, Patient
from tests.recount.sequence import Case, classify

OUTCOMES = (
    "medical_cure",
    "refractory",
    "catheter_removed",
    "haemodialysis_transfer",
    "died",
    "admitted",
)


def cases_of(patient: Patient, days: RiskDays, rule_set: str) -> list[Case]:
    """Every episode and infection of a patient, classified within its kind."""
    cases = [peritonitis(patient, episode) for episode in patient.episodes]
    for infection in patient.infections:
        cases += sites(patient, infection)
    for kind in ("peritonitis", "exit_site", "tunnel"):
        rows = [case for case in cases if case.kind == kind]
        for row in rows:
            row.off_risk = days.reason(row.onset_on)
        firsts = classify([row for row in rows if row.confirmed == "confirmed"])
        decide(rows, firsts)
        if kind == "peritonitis":
            set_outcomes(patient, firsts, days, rule_set)
    relate_to_catheter(cases)
    return cases


def peritonitis(patient: Patient, episode: Episode) -> Case:
    case = Case(
        patient.clinic,
        patient.name,
        episode.name,
        "peritonitis",
        episode.onset_on,
        episode.therapy_completed_on,
        episode.samples,
        episode,
    )
    # "a row's own samples"
    case.criteria = (
        criteria.clinical_criterion(episode),
        criteria.cell_criterion(episode.samples),
        criteria.culture_criterion(episode.samples),
    )
    case.confirmed = criteria.confirmed_peritonitis(list(case.criteria))
    return case


def sites(patient: Patient, infection: Infection) -> list[Case]:
    """ "a catheter infection with site both gives two"; "only sites named in site are judged"."""
    judged = {
        "exit_site": criteria.confirmed_exit_site,
        "tunnel": criteria.confirmed_tunnel,
    }
    rows = []
    for kind in ("exit_site", "tunnel"):
        if infection.site in (kind, "both"):
            case = Case(
                patient.clinic,
                patient.name,
                infection.name,
                kind,
                infection.onset_on,
                infection.therapy_completed_on,
                [infection.sample],
                infection,
            )
            case.confirmed = judged[kind](infection)
            rows.append(case)
    return rows


def relate_to_catheter(cases: list[Case]) -> None:
    """ "yes (a confirmed catheter infection at most 90 days before or after, same organism or one
    of the two sterile), no; on every confirmed peritonitis row"."""
    confirmed = [case for case in cases if case.confirmed == "confirmed"]
    at_catheter = [case for case in confirmed if case.kind != "peritonitis"]
    for case in confirmed:
        if case.kind == "peritonitis":
            case.catheter_related = yes_no(any(related(case, one) for one in at_catheter))


def related(case: Case, infection: Case) -> bool:
    if abs((case.onset_on - infection.onset_on).days) > 90:
        return False
    sterile = "culture_negative" in (case.culture_group, infection.culture_group)
    return sterile or share_any(case.organisms, infection.organisms)


def insertion_related(patient: Patient, onset: date) -> str:
    """ "yes (latest insertion on or before onset is 0-30 days back), no, unknown (none)"."""
    inserted = [c.inserted_on for c in patient.catheters if c.inserted_on <= onset]
    if not inserted:
        return "unknown"
    return yes_no(onset - max(inserted) <= timedelta(days=30))


def case_row(patient: Patient, case: Case) -> dict[str, object]:
    """One row with the columns of design 3.1, in that order."""
    groups = organism_groups(case.culture_group, case.organisms)
    timing = "pre_pd" if case.off_risk == "before_pd" else "pd_associated"
    return {
        "clinic": case.clinic,
        "patient": case.patient,
        "episode": case.episode,
        "onset_on": case.onset_on,
        "kind": case.kind,
        "clinical_criterion": case.criteria[0],
        "cell_criterion": case.criteria[1],
        "culture_criterion": case.criteria[2],
        "confirmed": case.confirmed,
        "culture_group": case.culture_group,
        "organism_group": exclusive_class(case.culture_group, case.organisms),
        "organism_groups": ";".join(groups),
        "timing": timing,
        "insertion_related": insertion_related(patient, case.onset_on),
        "sequence": case.sequence,
        "index_episode": case.index_episode,
        "gap_days": "" if case.gap_days is None else case.gap_days,
        "catheter_related": case.catheter_related,
        **{name: case.outcomes.get(name, "") for name in OUTCOMES},
        "counts": yes_no(case.counts),
        "reason": case.reason,
    }
