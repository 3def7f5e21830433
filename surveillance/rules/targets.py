"""The published targets of each rule set, with the direction of good."""

from surveillance.rules import sources as source
from surveillance.rules.rule import Target

CULTURE_NEGATIVE = Target(
    "culture_negative_share",
    0.15,
    "below",
    source.BALZER,
    "p. 223, naming the ISPD target",
    "seen",
)

TARGETS_2022 = (
    Target("peritonitis_rate", 0.40, "at_most", source.ISPD_2022, source.ABSTRACT, "seen"),
    Target("exit_site_infection_rate", 0.40, "at_most", source.ISPD_2023, source.ABSTRACT, "seen"),
    Target(
        "peritonitis_free_share",
        0.80,
        "above",
        source.ISPD_2022,
        source.ABSTRACT,
        "seen",
        ("year", "rolling_year"),
    ),
    CULTURE_NEGATIVE,
    Target("insertion_related_share", 0.05, "below", source.ISPD_ACCESS, source.NOT_READ, "memory"),
)

TARGETS_2016 = (
    Target("peritonitis_rate", 0.50, "at_most", source.BALZER, "p. 221", "seen"),
    CULTURE_NEGATIVE,
)
