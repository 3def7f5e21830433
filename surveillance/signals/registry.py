"""The registry of signals of one clinic: a newcomer adds a file and its name here."""

from surveillance.signals.basis import Family
from surveillance.signals.long_gaps import long_gaps
from surveillance.signals.monthly_ewma import monthly_ewma
from surveillance.signals.organism_cluster import organism_cluster
from surveillance.signals.peritonitis_cusum import peritonitis_cusum
from surveillance.signals.quarterly_rate import quarterly_rate
from surveillance.signals.runs import runs
from surveillance.signals.trainer_cohorts import trainer_cohorts

FAMILIES: tuple[Family, ...] = (
    peritonitis_cusum,
    organism_cluster,
    quarterly_rate,
    long_gaps,
    monthly_ewma,
    runs,
    trainer_cohorts,
)
