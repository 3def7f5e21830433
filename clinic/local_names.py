"""A clinic's laboratory names for organisms: kept as written, read as the entry they stand for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from clinic.catalogue import entry_by_name, name_key, scientific_name
from clinic.models import CatheterInfection, Clinic, Isolate, LocalOrganismName


def local_names(clinic: Clinic) -> dict[str, str]:
    """The catalogue's name by the key of the laboratory's."""
    rows = LocalOrganismName.objects.filter(clinic=clinic)
    return dict(rows.values_list("key", "scientific_name"))


def names_by_place(clinics: Sequence[Clinic]) -> dict[int, dict[str, str]]:
    """The same for several clinics, by their place in the sequence; those without any left out."""
    place = {clinic.pk: number for number, clinic in enumerate(clinics)}
    found: dict[int, dict[str, str]] = {}
    rows = LocalOrganismName.objects.filter(clinic__in=list(place))
    for pk, key, name in rows.values_list("clinic_id", "key", "scientific_name"):
        found.setdefault(place[pk], {})[key] = name
    return found


def named(clinic: Clinic, text: str) -> str:
    """The scientific name that the text stands for in this clinic; else as it stands."""
    key = name_key(text)
    if key in entry_by_name():
        return scientific_name(text)
    return local_names(clinic).get(key, text)


def unlisted_names(clinic: Clinic) -> dict[str, int]:
    """Names of the standing record that lead to no entry, with the number of rows."""
    known, counts = local_names(clinic), dict[str, int]()
    for text in _texts(clinic):
        key = name_key(text)
        if text not in ("", "no_growth") and key not in entry_by_name() and key not in known:
            counts[text] = counts.get(text, 0) + 1
    return dict(sorted(counts.items()))


def _texts(clinic: Clinic) -> Iterable[str]:
    isolates = Isolate.objects.filter(
        withdrawn_at=None, effluent_sample__withdrawn_at=None,
        effluent_sample__peritonitis__withdrawn_at=None,
        effluent_sample__peritonitis__patient__clinic=clinic,
    )  # fmt: skip
    infections = CatheterInfection.objects.filter(withdrawn_at=None, patient__clinic=clinic)
    for rows in (isolates, infections):
        yield from rows.values_list("organism", flat=True)
