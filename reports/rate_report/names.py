"""What figures, bands and reasons are called on pages and in files for people."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class MeasureName:
    """The words of one measure."""

    title: str  # stands alone: Peritonitis rate
    counted: str  # what the numerator counts, many
    over: str  # what the denominator counts
    note: str = ""  # why its denominator is what it is


_EPISODES = "confirmed peritonitis episodes, relapses and episodes off risk too"
_FOLLOWED = "confirmed peritonitis episodes followed up to their outcome"


def _rate(title: str, counted: str) -> MeasureName:
    return MeasureName(title, counted, "days at risk")


def _share(title: str, counted: str, over: str = _EPISODES) -> MeasureName:
    return MeasureName(title, counted, over)


MEASURES: dict[str, MeasureName] = {
    "peritonitis_rate": _rate("Peritonitis rate", "counted episodes"),
    "exit_site_infection_rate": _rate("Exit-site infection rate", "counted exit-site infections"),
    "tunnel_infection_rate": _rate("Tunnel infection rate", "counted tunnel infections"),
    "catheter_infection_rate": _rate(
        "Catheter infection rate", "infections counted at either site, once"
    ),
    "organism_rate": _rate("Rate by organism group", "counted episodes with the group"),
    "median_patient_rate": MeasureName(
        "Median of the patients' own rates", "counted episodes", "patients at risk"
    ),
    "peritonitis_free_share": MeasureName(
        "Patients free of peritonitis", "patients without an episode", "patients at risk",
        "A relapse ends freedom too, so it is not the patients without a counted episode.",
    ),
    "culture_negative_share": _share("Culture-negative share", "episodes that grew nothing"),
    "not_cultured_share": _share("Not cultured", "episodes not cultured, or still waited for"),
    "relapsing_share": _share("Relapsing share", "relapsing episodes"),
    "recurrent_share": _share("Recurrent share", "recurrent episodes"),
    "repeat_share": _share("Repeat share", "repeat episodes"),
    "medical_cure_share": _share("Medical cure", "episodes cured by treatment alone", _FOLLOWED),
    "refractory_share": _share("Refractory share", "refractory episodes", _FOLLOWED),
    "catheter_removal_share": _share("Catheter removal", "episodes with removal", _FOLLOWED),
    "haemodialysis_transfer_share": _share(
        "Transfer to haemodialysis", "episodes with transfer", _FOLLOWED
    ),
    "death_share": _share("Death", "episodes followed by death", _FOLLOWED),
    "admission_share": _share("Admission", "episodes with admission", _FOLLOWED),
    "insertion_related_share": _share(
        "Insertion-related share", "catheters followed by peritonitis within 30 days",
        "catheters inserted in the period and 30 days old",
    ),
}  # fmt: skip

ORGANISM_GROUPS: dict[str, str] = {
    "coagulase_negative_staphylococcus": "Coagulase-negative staphylococci",
    "staphylococcus_aureus": "Staphylococcus aureus",
    "streptococcus": "Streptococci",
    "enterococcus": "Enterococci",
    "corynebacterium": "Corynebacteria",
    "other_gram_positive": "Other Gram-positive",
    "escherichia_coli": "Escherichia coli",
    "other_enterobacterales": "Other Enterobacterales",
    "pseudomonas": "Pseudomonas",
    "acinetobacter": "Acinetobacter",
    "stenotrophomonas": "Stenotrophomonas",
    "other_gram_negative": "Other Gram-negative",
    "anaerobe": "Anaerobes",
    "fungal": "Fungi",
    "mycobacterial": "Mycobacteria",
    "other_organism": "Other organism",
    "polymicrobial": "Several organisms",
    "culture_negative": "Culture-negative",
    "culture_pending": "Culture not back yet",
    "not_cultured": "Not cultured",
}

SPLITS: dict[str, str] = {
    "time_since_training": "days since the latest training of any kind",
    "time_since_initial_training": "days since the latest initial training",
    "time_since_scheduled_training": "days since the latest scheduled training",
    "time_since_triggered_training": "days since the latest triggered training",
    "time_on_pd": "days since PD began",
    "catheter_age": "days since the catheter's insertion",
    "insertion_method": "how the catheter was inserted",
    "modality": "CAPD or APD",
    "assistance": "who does the exchanges",
    "trainer": "trainer of the latest training",
    "first_trainer": "trainer of the first training",
    "organism_group": "organism group",
}

RATE = "peritonitis_rate"
CLOCKS = tuple(split for split in SPLITS if split.startswith("time_since"))

_TIME_BANDS = {
    "0-30": "0–30 days", "31-90": "31–90 days", "0-90": "0–90 days", "91-181": "91–181 days",
    "182-364": "182–364 days", "365-729": "365–729 days", "730+": "730 days or more",
}  # fmt: skip
_OTHER_BANDS = {"capd": "CAPD", "apd": "APD", "unknown": "not known"}

KINDS: dict[str, str] = {"peritonitis": "peritonitis", "exit_site": "exit site", "tunnel": "tunnel"}
RULE_SETS: dict[str, str] = {"rule_2022": "2022", "rule_2016": "2016"}


def none_recorded_text(split: str) -> str:
    if split in ("catheter_age", "insertion_method"):
        return "No catheter recorded"
    return "No training recorded"


def band_text(split: str, band: str) -> str:
    """What a band is called; a code that the record brought stays as it is."""
    if split == "organism_group":
        return ORGANISM_GROUPS.get(band, band)
    if band == "none_recorded":
        return none_recorded_text(split)
    return _TIME_BANDS.get(band) or _OTHER_BANDS.get(band) or band


def figure_text(measure: str, split: str = "", band: str = "") -> str:
    """The figure's name: its measure and, if divided, its band."""
    title = MEASURES[measure].title
    return f"{title}: {band_text(split, band)}" if split else title
