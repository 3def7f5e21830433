"""Samples against their isolates: contradictions are faults, odd counts and gaps are warnings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo

from clinic.catalogue import name_key
from clinic.checks.rows import CheckRow, Finding, PatientRows, fault, warning
from clinic.reading.limits import LEUCOCYTES_VERY_LOW_PER_UL

_WITHOUT_GROWTH = ("no_growth", "not_taken")


def _isolates_by_sample(rows: PatientRows) -> dict[tuple[str, str], list[CheckRow]]:
    found: dict[tuple[str, str], list[CheckRow]] = {}
    for isolate in rows.get("isolates", ()):
        found.setdefault((isolate["episode"], isolate["sample"]), []).append(isolate)
    return found


def isolates_without_growth(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    grown = _isolates_by_sample(rows)
    for sample in rows.get("effluent_samples", ()):
        culture = sample["culture"]
        if culture in _WITHOUT_GROWTH:
            for isolate in grown.get((sample["episode"], sample["sample"]), ()):
                said = (
                    f"culture of sample {sample['sample']} is {culture}, "
                    f"but organism {isolate['organism']} grew in it; one of them is wrong"
                )
                marks = ((sample, "culture"), (isolate, "organism"))
                yield fault("isolate_without_growth", said, *marks, allowed="culture grown")


def isolates_of_nothing(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for isolate in rows.get("isolates", ()):
        if name_key(isolate["organism"].replace("_", " ")) == "no growth":
            said = "no growth is no organism: write it as the sample's culture, without an isolate"
            yield fault("isolate_of_nothing", said, (isolate, "organism"))


def cultures_not_yet_told(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    grown = _isolates_by_sample(rows)
    for sample in rows.get("effluent_samples", ()):
        named = grown.get((sample["episode"], sample["sample"]), ())
        if sample["culture"] == "grown" and not named:
            said = "grown, not yet named: no isolate of this sample"
            yield warning("grown_without_isolate", said, (sample, "culture"))
        elif sample["culture"] == "pending" and named:
            said = f"pending, yet {named[0]['organism']} is named: counts as grown"
            yield warning(
                "isolate_while_pending", said, (sample, "culture"), (named[0], "organism")
            )


def counts_in_another_unit(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    cloudy = {row["episode"] for row in rows.get("peritonitis", ()) if _is_cloudy(row)}
    for sample in rows.get("effluent_samples", ()):
        cells = sample["leucocytes_per_ul"]
        if not cells or cells > LEUCOCYTES_VERY_LOW_PER_UL:
            continue
        # A later sample of a clearing fluid is low by right: only one that grew, or looked cloudy.
        first_look = sample["episode"] in cloudy and sample["culture"] == "grown"
        if first_look or sample["appearance"] == "cloudy":
            said = (
                f"very low beside a cloudy bag; {cells} x10^9/L would be {cells * 1000} per uL"
                f" ({LEUCOCYTES_VERY_LOW_PER_UL} or fewer, setting)"
            )
            yield warning("cells_low_but_cloudy", said, (sample, "leucocytes_per_ul"))


def _is_cloudy(episode: CheckRow) -> bool:
    return episode["cloudy_effluent"] == "yes"
