"""The registry of estimates: a newcomer adds a file and its name here."""

from surveillance.estimates.basis import Family
from surveillance.estimates.care import (
    antibiotic_delay,
    day_5_count,
    sample_first,
    training_overdue,
)
from surveillance.estimates.clustering import clustering
from surveillance.estimates.completeness import completeness
from surveillance.estimates.contaminations import contaminations
from surveillance.estimates.entry_delay import entered_counts, entry_delay
from surveillance.estimates.free_share import full_year_free_share
from surveillance.estimates.incidence import incidence
from surveillance.estimates.rates import looks, rate_limits, reliability
from surveillance.estimates.trainer_cohorts import trainer_cohorts
from surveillance.estimates.training_bands import training_bands
from surveillance.estimates.unknown_answers import unknown_answers
from surveillance.estimates.unknown_dwell import unknown_dwell
from surveillance.estimates.year_before import year_before

__all__ = ["FAMILIES", "Family"]

FAMILIES: tuple[Family, ...] = (
    rate_limits,
    reliability,
    looks,
    clustering,
    year_before,
    full_year_free_share,
    incidence,
    training_bands,
    trainer_cohorts,
    completeness,
    unknown_dwell,
    unknown_answers,
    entry_delay,
    entered_counts,
    contaminations,
    antibiotic_delay,
    sample_first,
    day_5_count,
    training_overdue,
)
