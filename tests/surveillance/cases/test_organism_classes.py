"""One class an episode: fungal, then mycobacterial, then polymicrobial, then its group."""

import numpy as np
import pytest

from surveillance.cases.criteria import CULTURE_GROUPS
from surveillance.cases.organism_classes import (
    CLASSES,
    exclusive_class,
    groups_found,
    joined_names,
)
from surveillance.cases.organisms import findings, without_vaguer
from tests.surveillance.records import known_organisms


def classed(culture, *names):
    known = known_organisms()
    found = findings(np.zeros(len(names), dtype=int), known.codes(names))
    found = without_vaguer(found, known)
    state = np.array([CULTURE_GROUPS.index(culture)])
    groups = groups_found(state, found, known)
    code, texts = joined_names(groups)
    return CLASSES[exclusive_class(state, found, groups)[0]], texts[code[0]]


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        (["S. aureus"], ("staphylococcus_aureus", "staphylococcus_aureus")),
        (["E. coli", "Candida albicans"], ("fungal", "escherichia_coli;fungal")),
        (["E. coli", "Mycobacterium"], ("mycobacterial", "escherichia_coli;mycobacterial")),
        (["Klebsiella", "Proteus"], ("polymicrobial", "other_enterobacterales")),
        (["Klebsiella", "Klebsiella oxytoca"], ("other_enterobacterales",) * 2),
        (["Strange thing"], ("other_organism", "other_organism")),
        ([], ("other_organism", "other_organism")),
    ],
)
def test_growth_has_a_class_and_its_groups(names, expected):
    assert classed("positive", *names) == expected


@pytest.mark.parametrize("culture", CULTURE_GROUPS[:3])
def test_without_growth_the_culture_group_is_the_class(culture):
    assert classed(culture) == (culture, "")
