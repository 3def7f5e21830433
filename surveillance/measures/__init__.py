"""The registry of measures: a newcomer adds a file and its name here."""

from surveillance.measures.episode_shares import EPISODE_SHARES
from surveillance.measures.figures import Measure
from surveillance.measures.infection_rates import INFECTION_RATES
from surveillance.measures.insertion_related_share import INSERTION_RELATED_SHARE
from surveillance.measures.median_patient_rate import MEDIAN_PATIENT_RATE
from surveillance.measures.organism_rate import ORGANISM_RATE
from surveillance.measures.peritonitis_free_share import PERITONITIS_FREE_SHARE

__all__ = ["MEASURES", "Measure"]

MEASURES: dict[str, Measure] = {
    measure.name: measure
    for measure in (
        *INFECTION_RATES,
        ORGANISM_RATE,
        MEDIAN_PATIENT_RATE,
        PERITONITIS_FREE_SHARE,
        *EPISODE_SHARES,
        INSERTION_RELATED_SHARE,
    )
}
