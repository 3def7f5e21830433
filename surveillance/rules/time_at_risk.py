"""Which days count, how they make years, and how they are divided."""

from surveillance.rules import sources as source
from surveillance.rules.rule import Rule

TIME_AT_RISK = (
    Rule(
        "days_per_year",
        365.25,
        "days",
        "A patient-year is 365.25 days; the handbook uses 365.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
    Rule(
        "days_that_count",
        "first_and_last",
        "",
        "The first and the last day on dialysis at home both count.",
        source.HANDBOOK,
        "whole page: 2017 patient-days only so",
        "seen",
    ),
    Rule(
        "stopping_pauses",
        ("temporary_haemodialysis", "catheter_rest"),
        "",
        "Days on temporary haemodialysis or catheter rest do not count; travel and other pauses "
        "do.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
    Rule(
        "training_bands_start_at",
        (0, 91, 182, 365, 730),
        "days",
        "Time since training and on dialysis is cut at 91, 182, 365 and 730 days.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
    Rule(
        "catheter_bands_start_at",
        (0, 31, 91, 182, 365, 730),
        "days",
        "A catheter's age is cut at 31 days too, so that the insertion window is a band.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
    Rule(
        "limits_level",
        0.95,
        "",
        "Limits are two-sided and exact, at 95 %.",
        source.OURS,
        source.DESIGN,
        "common practice, no source",
    ),
)

START_2022 = (
    Rule(
        "start_of_risk",
        "pd_commencement",
        "",
        "Days count from the first day of dialysis at home in this clinic.",
        source.ISPD_2022,
        source.NOT_READ,
        "memory",
    ),
)

START_2016 = (
    Rule(
        "start_of_risk",
        "first_training",
        "",
        "No day before the first recorded training counts.",
        source.BALZER,
        "p. 221",
        "seen",
    ),
)
