"""The organism catalogue: the rows of fixtures/organisms.csv; it changes only with a release."""

import csv
from functools import cache

from django.conf import settings


@cache
def organism_rows() -> tuple[dict[str, str], ...]:
    path = settings.HERE / "fixtures" / "organisms.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def name_key(text: str) -> str:
    """How names are compared: without regard to case and repeated spaces."""
    return " ".join(text.split()).casefold()


@cache
def entry_by_name() -> dict[str, dict[str, str]]:
    """Every scientific name, other name and taxonomy id, leading to its one entry."""
    found: dict[str, dict[str, str]] = {}
    for row in organism_rows():
        names = [row["scientific_name"], row["taxonomy_id"], *row["other_names"].split(";")]
        for name in filter(None, names):
            found.setdefault(name_key(name), row)
    return found


def scientific_name(text: str) -> str:
    """The catalogue's name for what was written; an unlisted name stays as it is."""
    entry = entry_by_name().get(name_key(text))
    return entry["scientific_name"] if entry else text


@cache
def organism_names() -> tuple[str, ...]:
    """The catalogue's names in alphabetical order, for a form to offer."""
    return tuple(sorted(row["scientific_name"] for row in organism_rows()))
