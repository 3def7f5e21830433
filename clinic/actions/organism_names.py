"""What a laboratory calls an organism, mapped to one entry of the catalogue for one clinic."""

from __future__ import annotations

from django.db import transaction

from clinic.actions.audit import write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_right
from clinic.catalogue import entry_by_name, name_key
from clinic.models import Clinic, LocalOrganismName, Person


def map_local_name(*, clinic: Clinic, by: Person, name: str, organism: str) -> LocalOrganismName:
    """The record keeps the name as written; the method reads it as this entry from now on."""
    require_right(by, "organism.map_local_name", clinic)
    entry = entry_by_name().get(name_key(organism))
    if entry is None:
        raise refuse("organism", "Not in the catalogue: choose a name that it lists.")
    if name_key(name) in entry_by_name():
        raise refuse("name", "The catalogue knows this name already.")
    with transaction.atomic():
        old = LocalOrganismName.objects.filter(clinic=clinic, key=name_key(name)).first()
        made, _ = LocalOrganismName.objects.update_or_create(
            clinic=clinic, key=name_key(name),
            defaults={"name": name, "scientific_name": entry["scientific_name"], "by": by},
        )  # fmt: skip
        write_event(
            clinic=clinic, by=by, verb="map", thing="organism_name",
            changes={name: [old and old.scientific_name, made.scientific_name]},
        )  # fmt: skip
    return made
