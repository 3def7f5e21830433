"""Headlines: each says what the stored rows show, and no more."""

from typing import Any

import pytest

from reports.rate_report.findings import (
    bands_caution,
    bands_headline,
    organisms_headline,
    rate_headline,
    targets_text,
    years_to_tell_text,
)


def rate(verdict: str, **fields: Any) -> dict[str, Any]:
    return {
        "verdict": verdict, "target": 0.4, "denominator": 18050, "value": 0.344,
        "lower": 0.2, "upper": 0.55, "split": "", "band": "",
    } | fields  # fmt: skip


def band(name: str, lower: float, upper: float, days: int = 5000) -> dict[str, Any]:
    fields = {"split": "time_since_training", "band": name, "lower": lower, "upper": upper}
    return rate("", denominator=days, **fields)


@pytest.mark.parametrize(
    ("verdicts", "said"),
    [
        (["meets"], "The rate lies below the target of 0.40, beyond chance."),
        (["misses"], "The rate lies above the target of 0.40, beyond chance."),
        (
            ["meets", "misses", "misses"],
            "The rate lies above the target of 0.40, beyond chance, for two rolling years running.",
        ),
        (["misses_uncertain"], "The target of 0.40 lies inside the range of the rate."),
        (
            ["meets_uncertain", "misses", "misses", "meets_uncertain"],
            (
                "The target of 0.40 lies inside the range of the rate; two of the three rolling "
                "years before stood above it, beyond chance."
            ),
        ),
    ],
)
def test_the_rate_is_told_by_its_stored_verdicts(verdicts: list[str], said: str) -> None:
    assert rate_headline([rate(verdict) for verdict in verdicts]) == said


def test_nobody_at_risk_is_not_a_rate_of_zero() -> None:
    empty = rate("no_data", denominator=0, value=None)

    assert rate_headline([empty]) == "Nobody was at risk in this year."


def test_no_band_stands_apart_while_every_range_holds_the_whole() -> None:
    bands = [band("0-90", 0.1, 0.9), band("91-181", 0.05, 0.6)]

    assert bands_headline(bands, rate("")).startswith("No band stands apart")
    assert bands_caution(bands, rate("")) == ""


def test_a_band_whose_range_lies_above_is_named_with_a_caution() -> None:
    bands = [band("0-90", 0.5, 1.5), band("91-181", 0.05, 0.6)]

    assert bands_headline(bands, rate("")).endswith("0–90 days above.")
    assert bands_caution(bands, rate("")).startswith("Two ranges")


@pytest.mark.parametrize(
    ("now", "before", "change", "said"),
    [
        (
            {"coagulase_negative_staphylococcus": 4, "streptococcus": 2},
            {"coagulase_negative_staphylococcus": 15, "streptococcus": 4},
            -1,
            "Over half of the fall is in coagulase-negative staphylococci, from 15 to 4.",
        ),
        (  # the ranges of the two years meet: no rise is told, however large it looks
            {"streptococcus": 8, "pseudomonas": 6},
            {"streptococcus": 4, "pseudomonas": 2},
            0,
            "Streptococci: 8 of 14 counted episodes, more than any other group.",
        ),
        (  # more patient-years: the rate fell while the number rose
            {"streptococcus": 8, "pseudomonas": 6},
            {"streptococcus": 4, "pseudomonas": 2},
            -1,
            "Streptococci: 8 of 14 counted episodes, more than any other group.",
        ),
        ({}, {"fungal": 1}, -1, "No episode was counted in this year."),
        (
            {"staphylococcus_aureus": 3, "fungal": 1},
            {},
            0,
            "Staphylococcus aureus: 3 of 4 counted episodes, more than any other group.",
        ),
        (
            {"pseudomonas": 1, "fungal": 1},
            {"pseudomonas": 1},
            0,
            "No group leads: at most 1 of 2 counted episodes are of one kind.",
        ),
    ],
)
def test_organisms_say_where_the_change_is_or_which_group_leads(
    now: dict[str, int], before: dict[str, int], change: int, said: str
) -> None:
    assert organisms_headline(now, before, change) == said


def test_a_clinic_of_this_size_waits_years_to_tell() -> None:
    # workflows.md 0, point 3: about 225 patient-years; 18,050 days are 49.4 of them
    assert "about 4.6 years" in years_to_tell_text(rate("meets_uncertain"))


def test_the_two_published_targets_may_disagree_and_the_page_says_so() -> None:
    said = targets_text(rate("meets"), rate("misses"))

    assert "67 %" in said and "0.22" in said
    assert said.endswith(
        "the rate meets its target beyond chance and the free share misses its own."
    )


def test_targets_that_chance_leaves_open_are_not_said_to_disagree() -> None:
    assert "Here" not in targets_text(rate("meets_uncertain"), rate("misses_uncertain"))
