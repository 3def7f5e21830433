"""bad_inputs.csv as rows that forms and the API are both held to: what is sent, what is said.

Each is (row of the file, subject, fields, field at fault, words of the answer), or, of what is
accepted, (row, subject, fields, words of the warning; empty: none).
"""

from __future__ import annotations

from typing import Any

E2 = {"episode": "E2", "cloudy_effluent": "yes"}
# What a new row of the subject needs beside the fields that are tried.
NEEDED: dict[str, dict[str, Any]] = {
    "peritonitis": E2 | {"onset_on": "2025-06-10"},
    "trainings": {"completed_on": "2025-01-10", "kind": "scheduled"},
}


def _sample(**fields: Any) -> tuple[str, dict[str, Any]]:
    return ("effluent_samples", {"sample": "S2", **fields})


REJECTED: list[tuple[Any, ...]] = [
    ("D01", "peritonitis", {"onset_on": "2025-02-30"}, "onset_on", "30 February 2025"),
    ("D03", "peritonitis", {"onset_on": "2026-01-21"}, "onset_on", "after today (20 Jan 2026"),
    ("D04", "peritonitis", {"onset_on": "1961-05-13"}, "onset_on", "birth"),
    ("D09", "peritonitis", {"onset_on": "03/04/2025"}, "onset_on", "2025-04-03 or 2025-03-04"),
    ("D09", "peritonitis", {"onset_on": "25/12/2025"}, "onset_on", "2025-12-25"),
    ("D10", "peritonitis", {"onset_on": "25-03-10"}, "onset_on", "four-digit year"),
    ("D10", "peritonitis", {"onset_on": "20250310"}, "onset_on", "four-digit year"),
    ("D10", "peritonitis", {"onset_on": "2025-W11-1"}, "onset_on", "four-digit year"),
    ("D10", "peritonitis", {"onset_on": 20250310}, "onset_on", "quotation marks"),
    ("D14", *_sample(collected_at="2025-03-30T01:30"), "collected_at", "did not exist"),
    ("D15", *_sample(collected_at="2025-10-26T01:30"), "collected_at", "happened twice"),
    ("N01", *_sample(leucocytes_per_ul=0.65), "leucocytes_per_ul", "0.65 x10^9/L is 650"),
    ("N03", *_sample(leucocytes_per_ul=2300000), "leucocytes_per_ul", "above 500 000 per uL"),
    ("N04", *_sample(neutrophil_percent=101), "neutrophil_percent", "0 to 100"),
    ("N04", *_sample(neutrophil_percent=100.5), "neutrophil_percent", "0 to 100"),
    ("N04", *_sample(neutrophil_percent=-5), "neutrophil_percent", "0 to 100"),
    ("N06", *_sample(leucocytes_per_ul="nan"), "leucocytes_per_ul", "not a number"),
    ("N08", *_sample(leucocytes_per_ul="６５０"), "leucocytes_per_ul", "digits 0-9"),
    ("N09", *_sample(leucocytes_per_ul="1_250"), "leucocytes_per_ul", "digits only"),
    ("N09", *_sample(leucocytes_per_ul="1,250"), "leucocytes_per_ul", "digits only"),
    ("N09", *_sample(leucocytes_per_ul="1\u202f250"), "leucocytes_per_ul", "digits"),
    ("N09", *_sample(leucocytes_per_ul=10**20 - 1), "leucocytes_per_ul", "too large"),
    ("N10", "peritonitis", {"cloudy_effluent": "TRUE"}, "cloudy_effluent", "yes, no, unknown"),
    ("N10", "peritonitis", {"cloudy_effluent": 1}, "cloudy_effluent", "quotation marks"),
    ("N10", "peritonitis", {"cloudy_effluent": True}, "cloudy_effluent", "yes, no, unknown"),
    ("N10", "peritonitis", {"cloudy_effluent": "Yes"}, "cloudy_effluent", "write yes"),
    ("N11", *_sample(dwell_hours=240), "dwell_hours", "240 minutes are 4 hours"),
    ("N11", *_sample(dwell_hours=-0.5), "dwell_hours", "0 to 72"),
    ("T01", "isolates", {"organism": "Cloudy\x00"}, "organism", "null character"),
    ("T02", "trainings", {"trainer": "T-01\u202egnp"}, "trainer", "U+202E"),
    ("T09", "peritonitis", {"episode": "E\u200b2"}, "episode", "U+200B"),
    ("L09", "pd_spells", {"started_on": "2027-01-01"}, "started_on", "after today"),
    ("half", "isolates", {"organism": "Kleb\ud800"}, "organism", "half a character"),
    ("list", "isolates", {"organism": ["a"]}, "organism", "no list"),
    ("object", "isolates", {"organism": {"a": 1}}, "organism", "no list and no object"),
]  # fmt: skip

ACCEPTED: list[tuple[Any, ...]] = [
    ("D01", "peritonitis", {"onset_on": "2025-02-28"}, ""),
    ("D03", "peritonitis", {"onset_on": "2026-01-20"}, ""),
    ("D13", *_sample(collected_at="2025-03-31T23:30:00Z"), ""),
    ("D14", *_sample(collected_at="2025-03-30T01:30+00:00"), ""),
    ("D18", "pd_pauses", {"started_on": "2025-03-29", "last_day_on": "2025-03-31",
                          "reason": "temporary_haemodialysis"}, ""),
    ("N03", *_sample(leucocytes_per_ul=50000), "very high"),
    ("N04", *_sample(neutrophil_percent=0), ""),
    ("N04", *_sample(neutrophil_percent=100), ""),
    ("N05", *_sample(neutrophil_percent=0.88), "88 would be written 88"),
    ("N06", *_sample(leucocytes_per_ul=2300), ""),
    ("N06", *_sample(leucocytes_per_ul="2300"), ""),
    ("N06", *_sample(leucocytes_per_ul=2.3e3), ""),
    ("N10", "peritonitis", {"cloudy_effluent": None}, ""),
    ("N11", *_sample(dwell_hours=14), ""),
    ("T03", "isolates", {"organism": "ok \U0001f637"}, "not in the organism list"),
    ("T06", "isolates", {"organism": "<img src=x onerror=alert(1)>Kleb"}, "not in the"),
    ("T07", "isolates", {"organism": "{{ 7*7 }} %(password)s"}, "not in the organism list"),
    ("T08", "isolates", {"organism": "=HYPERLINK(1)"}, "not in the organism list"),
    ("L01", "pd_spells", {"started_on": "2024-06-15", "modality": "apd"}, "overlap"),
    ("L02", "catheters", {"catheter": "C2", "inserted_on": "2025-04-02"}, "C1"),
    ("L04", *_sample(culture="grown"), "not yet named"),
    ("L15", "peritonitis", {"onset_on": "2025-03-31"}, "same episode as E1"),
]  # fmt: skip

CHANGE_REJECTED: list[tuple[Any, ...]] = [
    ("D02", "catheters", {"inserted_on": "2023-02-29"}, "inserted_on", "2023 has no 29 Febr"),
    ("D05", "patients", {"birth_date": "2024-03-01"}, "birth_date", "3 records"),
    ("D06", "patients", {"died_on": "2025-03-09"}, "died_on", "onset"),
    ("D07", "catheters", {"removed_on": "2024-01-09"}, "removed_on", "before insertion"),
    ("D08", "pd_spells", {"last_day_on": "2024-02-04"}, "last_day_on", "before"),
    ("D11", "pd_spells", {"last_day_on": "9999-12-31"}, "last_day_on", "leave empty while"),
    ("D12", "patients", {"birth_date": "1900-01-01"}, "birth_date", "age 124"),
    ("D17", "peritonitis", {"therapy_completed_on": "2025-03-09"}, "therapy_completed_on",
     "before onset (10 Mar 2025)"),
    ("T10", "peritonitis", {"onset_on": "2025-03-09", "reason": " \n\t \u00a0 "}, "reason",
     "Say why in a few words"),
    ("long", "peritonitis", {"onset_on": "2025-03-09", "reason": "x" * 401}, "reason", "400"),
    ("null", "peritonitis", {"onset_on": "2025-03-09", "reason": "wrong line\x00"}, "reason",
     "null character"),
    ("L05", "effluent_samples", {"culture": "no_growth"}, "culture", "Staphylococcus aureus"),
    ("S02", "patients", {"clinic": "SM"}, "clinic", "unknown field"),
    ("S02", "patients", {"number": "P999"}, "number", "unknown field"),
]  # fmt: skip

CHANGE_ACCEPTED: list[tuple[Any, ...]] = [
    ("D02", "catheters", {"inserted_on": "2024-02-29"}, ""),
    ("D06", "patients", {"died_on": "2025-03-31"}, ""),
    ("D07", "catheters", {"removed_on": "2024-01-10"}, ""),
    ("D08", "pd_spells", {"last_day_on": "2024-02-05"}, ""),
    ("D16", "peritonitis", {"first_antibiotic_at": "2025-03-10T09:00"}, "before arrival"),
    ("D17", "peritonitis", {"therapy_completed_on": "2025-03-10"}, ""),
    ("N02", "effluent_samples", {"leucocytes_per_ul": 2}, "very low"),
    ("L10", "patients", {"died_on": "2025-06-30"}, "end the spell"),
]  # fmt: skip
