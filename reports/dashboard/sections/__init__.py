"""The sections of Quarter in their order: a newcomer adds a file and its name here."""

from reports.dashboard.sections import (
    burden,
    care,
    changed,
    clusters,
    fairness,
    organisms,
    outcomes,
    rate,
    subgroups,
    training,
    trust,
)

SECTIONS = (
    rate.section,
    changed.section,
    organisms.section,
    clusters.section,
    training.section,
    subgroups.section,
    outcomes.section,
    care.section,
    burden.section,
    fairness.section,
    trust.section,
)
