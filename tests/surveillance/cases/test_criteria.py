"""Criteria in three-valued logic; both comparisons are strict (standards.md 1.1)."""

import numpy as np
import pytest

from surveillance.cases import criteria
from surveillance.cases.criteria import CONFIRMATION, CRITERION, CULTURE_GROUPS
from surveillance.rules import RULE_SETS
from surveillance.tables import NO, UNKNOWN, YES
from tests.surveillance.records import make_record

RULES = RULE_SETS["rule_2022"]
NAN = float("nan")


@pytest.mark.parametrize(
    ("cloudy", "pain", "said"),
    [
        (YES, UNKNOWN, "met"),
        (NO, YES, "met"),
        (NO, NO, "not_met"),
        (NO, UNKNOWN, "not_assessable"),
        (UNKNOWN, UNKNOWN, "not_assessable"),
    ],
)
def test_one_clinical_sign_is_enough_and_both_must_be_denied(cloudy, pain, said):
    row = {"cloudy_effluent": cloudy, "abdominal_pain": pain}
    found = criteria.clinical_criterion(make_record(peritonitis=[row]).peritonitis)
    assert [CRITERION[code] for code in found] == [said]


def cells(*samples):
    names = ("dwell_hours", "leucocytes_per_ul", "neutrophil_percent")
    rows = [dict(zip(names, sample, strict=True)) for sample in samples]
    record = make_record(peritonitis=[{}], effluent_samples=rows)
    return CRITERION[criteria.cell_criterion(record, RULES)[0]]


@pytest.mark.parametrize(
    ("samples", "said"),
    [
        ([(2, 101, 51)], "met"),
        ([(2, 100, 99)], "not_met"),
        ([(2, 999, 50)], "not_met"),
        ([(1.99, 999, 99)], "not_assessable"),
        ([(NAN, 50, 10)], "not_assessable"),
        ([(2, 101, NAN)], "not_assessable"),
        ([(2, 100, NAN)], "not_met"),
        ([(2, NAN, 50)], "not_met"),
        ([(2, NAN, NAN)], "not_assessable"),
        ([(2, 50, 10), (4, 500, 80)], "met"),
        ([(2, 50, 10), (1, 50, 10)], "not_assessable"),
        ([(2, 50, 10), (3, 90, 20)], "not_met"),
        ([], "not_assessable"),
    ],
)
def test_cells_need_count_and_share_and_dwell(samples, said):
    assert cells(*samples) == said


@pytest.mark.parametrize(
    ("cultures", "isolates", "group"),
    [
        (["no_growth", "grown"], [], "positive"),
        (["no_growth"], [0], "positive"),
        (["no_growth", "pending"], [], "culture_pending"),
        (["not_taken", "no_growth"], [], "culture_negative"),
        (["not_taken", None], [], "not_cultured"),
        ([], [], "not_cultured"),
    ],
)
def test_the_first_culture_group_that_holds(cultures, isolates, group):
    record = make_record(
        peritonitis=[{}],
        effluent_samples=[{"culture": culture} for culture in cultures],
        isolates=[{"sample": sample, "organism": "E. coli"} for sample in isolates],
    )
    assert CULTURE_GROUPS[criteria.own_cultures(record)[0]] == group


@pytest.mark.parametrize(
    ("three", "said"),
    [
        (("met", "met", "not_met"), "confirmed"),
        (("met", "not_met", "not_met"), "not_confirmed"),
        (("not_assessable", "not_met", "not_met"), "not_confirmed"),
        (("met", "not_assessable", "not_met"), "unconfirmed"),
        (("not_assessable",) * 3, "unconfirmed"),
    ],
)
def test_two_criteria_confirm_and_two_out_of_reach_do_not(three, said):
    codes = [np.array([CRITERION.index(name)]) for name in three]
    assert CONFIRMATION[criteria.confirmation(codes, RULES)[0]] == said


def test_only_a_culture_result_is_assessable():
    groups = np.array([CULTURE_GROUPS.index(name) for name in CULTURE_GROUPS])
    said = [CRITERION[code] for code in criteria.culture_criterion(groups)]
    assert said == ["not_assessable", "not_met", "not_assessable", "met"]


@pytest.mark.parametrize(
    ("inflammation", "collection", "said"),
    [
        (YES, NO, "confirmed"),
        (NO, YES, "confirmed"),
        (NO, NO, "not_confirmed"),
        (NO, UNKNOWN, "unconfirmed"),
    ],
)
def test_either_tunnel_sign_confirms(inflammation, collection, said):
    row = {"tunnel_inflammation": inflammation, "tunnel_collection": collection}
    frame = make_record(catheter_infections=[row]).catheter_infections
    found = criteria.site_confirmation(frame, RULES.words("tunnel_signs"))
    assert CONFIRMATION[found[0]] == said
