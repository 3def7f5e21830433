"""Names lead to entries; the same organism by rank, kingdom or coagulase-negative code."""

import numpy as np
import pytest

from surveillance.cases.organisms import GROUPS, findings, name_key, pairs, without_vaguer
from tests.surveillance.records import catalogue, known_organisms


def codes(*names):
    return known_organisms().codes(names)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("S. aureus", "staphylococcus  AUREUS"),
        ("562", "E. coli"),
        ("Candida glabrata", "Nakaseomyces glabratus"),
        ("Foo  bar", "foo BAR"),
    ],
)
def test_names_and_ids_lead_to_one_entry(one, other):
    first, second = codes(one, other)
    assert first == second


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("Klebsiella", "Klebsiella pneumoniae", True),
        ("Klebsiella oxytoca", "Klebsiella pneumoniae", False),
        ("Enterobacterales", "Klebsiella pneumoniae", True),
        ("Mycobacteriaceae", "Mycobacterium", True),
        ("Mycobacterium", "Mycobacteroides chelonae", False),
        ("yeast", "Candida albicans", True),
        ("Fungi", "E. coli", False),
        ("CoNS", "Staphylococcus epidermidis", True),
        ("CoNS", "Staphylococcus", True),
        ("CoNS", "Staphylococcus aureus", False),
        ("Staphylococcus", "Staphylococcus aureus", True),
        ("Staphylococcus", "Staphylococcus epidermidis", True),
        ("Staphylococcus hominis", "Staphylococcus epidermidis", False),
        ("Unlisted one", "Unlisted two", False),
    ],
)
def test_the_same_organism_is_found_either_way_round(one, other, same):
    first, second = (np.array([code]) for code in codes(one, other))
    known = known_organisms()
    assert known.same(first, second).tolist() == known.same(second, first).tolist() == [same]


@pytest.mark.parametrize(
    ("names", "kept"),
    [
        (["Staphylococcus", "Staphylococcus aureus"], ["Staphylococcus aureus"]),
        (["Staphylococcus", "CoNS"], ["CoNS"]),
        (["Staphylococcus", "CoNS", "S. epidermidis"], ["S. epidermidis"]),
        (["Fungi", "Candida albicans", "E. coli"], ["Candida albicans", "E. coli"]),
        (["Enterobacterales", "Klebsiella", "Klebsiella oxytoca"], ["Klebsiella oxytoca"]),
        (["Klebsiella", "E. coli"], ["Klebsiella", "E. coli"]),
    ],
)
def test_a_vaguer_name_is_dropped_beside_a_more_exact_one(names, kept):
    numbers = codes(*names)
    found = findings(np.zeros(len(numbers), dtype=int), numbers)
    left = without_vaguer(found, known_organisms())
    assert set(left.organism) == set(codes(*kept))


def test_an_unlisted_name_is_in_other_organism():
    group = known_organisms().group_of(codes("Unlisted one", "MRSA"))
    assert [GROUPS[place] for place in group] == ["other_organism", "staphylococcus_aureus"]


def test_every_entry_has_one_of_the_sixteen_groups():
    assert set(catalogue()["group"]) <= set(GROUPS) and len(GROUPS) == 16


def test_a_pair_is_kept_once_and_sorted():
    found = findings(np.array([1, 0, 1]), np.array([5, 7, 5]))
    assert (found.row.tolist(), found.organism.tolist()) == ([0, 1], [7, 5])


def test_pairs_have_equal_keys():
    one, other = pairs(np.array([3, 1, 2]), np.array([1, 1, 3]))
    assert list(zip(one.tolist(), other.tolist(), strict=True)) == [(0, 2), (1, 0), (1, 1)]


def test_case_and_repeated_spaces_do_not_matter():
    assert name_key(" E.  Coli ") == "e. coli"
