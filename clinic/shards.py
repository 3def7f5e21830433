"""The clinics as shards: which stand, which one a name means, which add up to a network."""

from django.db.models import QuerySet

from clinic.models import Clinic, Person

__all__ = ["Clinic", "Person", "clinics_of_network", "standing_clinics"]


def standing_clinics() -> QuerySet[Clinic]:
    return Clinic.objects.filter(withdrawn_at=None)


def clinics_of_network(network: str) -> QuerySet[Clinic]:
    return standing_clinics().filter(network=network)
