"""The registry of signals of one clinic: a newcomer adds a file and its name here."""

from surveillance.signals.basis import Family
from surveillance.signals.organism_cluster import organism_cluster
from surveillance.signals.peritonitis_cusum import peritonitis_cusum
from surveillance.signals.quarterly_rate import quarterly_rate

FAMILIES: tuple[Family, ...] = (
    peritonitis_cusum,
    organism_cluster,
    quarterly_rate,
)
