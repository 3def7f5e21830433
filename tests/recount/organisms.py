"""Names to organisms, when two are the same, and which group they fall in (design 3.1)."""

from collections.abc import Collection
from dataclasses import dataclass

COAGULASE_NEGATIVE = "coagulase_negative_staphylococcus"
CODE_NAME = "coagulase-negative staphylococci"
BARE_GENUS = "Staphylococcus"
FUNGI = "Fungi"


@dataclass(frozen=True)
class Organism:
    name: str
    taxonomy_id: str
    above: tuple[str, str, str]  # its genus, family and order, as taxonomy ids
    group: str


class Catalogue:
    """ "names, other names and ids lead to one entry; an unlisted name is kept as its own
    organism in other_organism"; "names match without regard to case and repeated spaces"."""

    def __init__(self, rows: list[dict[str, str]]) -> None:
        self.entries: dict[str, Organism] = {}
        for row in rows:
            above = (row["genus_id"], row["family_id"], row["order_id"])
            entry = Organism(row["scientific_name"], row["taxonomy_id"], above, row["group"])
            others = [name for name in row["other_names"].split(";") if name]
            for name in [row["scientific_name"], row["taxonomy_id"], *others]:
                if name:
                    self.entries[plain(name)] = entry

    def find(self, text: str) -> Organism:
        unlisted = Organism(plain(text), "", ("", "", ""), "other_organism")
        return self.entries.get(plain(text), unlisted)


def plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def is_vaguer(vague: Organism, exact: Organism) -> bool:
    """The four ways in which one name may stand above another."""
    if vague == exact:
        return False
    if vague.taxonomy_id and vague.taxonomy_id in exact.above:
        return True  # "one is the other's genus, family or order"
    if vague.name == FUNGI and exact.group == "fungal":
        return True  # "one is Fungi and the other in the group fungal"
    # "both in the coagulase-negative group and one of them is the code name or the bare genus"
    # (the bare genus over the code name is met above: the code name carries its genus).
    both = vague.group == exact.group == COAGULASE_NEGATIVE
    return both and vague.name in (CODE_NAME, BARE_GENUS) and exact.name != BARE_GENUS


def same(one: Organism, other: Organism) -> bool:
    return one == other or is_vaguer(one, other) or is_vaguer(other, one)


def share_any(ones: Collection[Organism], others: Collection[Organism]) -> bool:
    return any(same(one, other) for one in ones for other in others)


def exact_names(found: Collection[Organism]) -> set[Organism]:
    """ "a vaguer name that matches a more exact one is dropped, before any count"."""
    return {one for one in found if not any(is_vaguer(one, other) for other in found)}


def organism_groups(culture_group: str, found: set[Organism]) -> list[str]:
    """ "growth without any name is other_organism, in organism_groups too"."""
    if culture_group == "positive" and not found:
        return ["other_organism"]
    return sorted({one.group for one in found})


def exclusive_class(culture_group: str, found: set[Organism]) -> str:
    """ "the culture_group unless positive; then fungal > mycobacterial > polymicrobial (two or
    more organisms) > its group"."""
    if culture_group != "positive":
        return culture_group
    groups = organism_groups(culture_group, found)
    for first in ("fungal", "mycobacterial"):
        if first in groups:
            return first
    return "polymicrobial" if len(found) >= 2 else groups[0]
