"""What a spreadsheet must be told to find the same number in the files that we offer."""

from __future__ import annotations

# Columns of the case file and of the ledger file, as a spreadsheet letters them (design 3.1, 3.2).
CASE_COLUMNS = (
    "clinic", "patient", "episode", "onset_on", "kind", "clinical_criterion", "cell_criterion",
    "culture_criterion", "confirmed", "culture_group", "organism_group", "organism_groups",
    "timing", "insertion_related", "sequence", "index_episode", "gap_days", "catheter_related",
    "medical_cure", "refractory", "catheter_removed", "haemodialysis_transfer", "died", "admitted",
    "counts", "reason",
)  # fmt: skip
_LETTER = {name: chr(ord("A") + index) for index, name in enumerate(CASE_COLUMNS)}

DAYS = '=SUMIFS(F:F;E:E;"at_risk")'
PATIENTS = (
    '=SUMPRODUCT((E2:E9999="at_risk")'
    '/(COUNTIFS(B2:B9999;B2:B9999;E2:E9999;E2:E9999)+(E2:E9999="")))'
)
CATHETER_ONCE = (
    '=COUNTIFS(E:E;"exit_site";Y:Y;"yes")+COUNTIFS(E:E;"tunnel";Y:Y;"yes")'
    '-SUMPRODUCT((E2:E9999="tunnel")*(Y2:Y9999="yes")'
    '*COUNTIFS(B:B;B2:B9999;C:C;C2:C9999;E:E;"exit_site";Y:Y;"yes"))'
)
_COUNTED_KIND = {
    "peritonitis_rate": "peritonitis",
    "organism_rate": "peritonitis",
    "median_patient_rate": "peritonitis",
    "exit_site_infection_rate": "exit_site",
    "tunnel_infection_rate": "tunnel",
}
_SHARE_OF = {
    "culture_negative_share": ("culture_group", ("culture_negative",)),
    "not_cultured_share": ("culture_group", ("not_cultured", "culture_pending")),
    "relapsing_share": ("sequence", ("relapsing",)),
    "recurrent_share": ("sequence", ("recurrent",)),
    "repeat_share": ("sequence", ("repeat",)),
}


def _count(**wanted: str) -> str:
    pairs = ";".join(
        f'{_LETTER[column]}:{_LETTER[column]};"{value}"' for column, value in wanted.items()
    )
    return f"COUNTIFS({pairs})"


def _episodes(**wanted: str) -> str:
    """Confirmed peritonitis that is no part of an episode already listed."""
    return _count(kind="peritonitis", confirmed="confirmed", sequence="<>same_episode", **wanted)


def numerator_formula(measure: str, split: str, band: str) -> str:
    """The formula on the case file, or nothing where its rows do not carry the answer."""
    if measure == "catheter_infection_rate":
        return "" if split else CATHETER_ONCE
    if measure in _COUNTED_KIND:
        return _counted_formula(measure, split, band)
    if measure not in _SHARE_OF:
        return ""
    column, values = _SHARE_OF[measure]
    return "=" + "+".join(_share_count(column, value) for value in values)


def _share_count(column: str, value: str) -> str:
    if column == "sequence":
        return _count(kind="peritonitis", confirmed="confirmed", sequence=value)
    return _episodes(**{column: value})


def _counted_formula(measure: str, split: str, band: str) -> str:
    kind = _COUNTED_KIND[measure]
    if not split:
        return "=" + _count(kind=kind, counts="yes")
    if split != "organism_group":
        return ""
    if measure == "organism_rate":
        return "=" + _count(kind=kind, counts="yes", organism_groups=f"*{band}*")
    return "=" + _count(kind=kind, counts="yes", organism_group=band)


def denominator_formula(measure: str, unit: str, split: str, band: str) -> str:
    """The formula on the ledger, on the days by band or on the case file, or nothing."""
    if unit == "patient_days":
        undivided = split in ("", "organism_group")
        return DAYS if undivided else f'=SUMIFS(E:E;C:C;"{split}";D:D;"{band}")'
    if unit == "patients":
        return PATIENTS
    return "=" + _episodes() if measure in _SHARE_OF else ""
