"""How an episode ended: windows of treatment, follow-up, transfer, death and clearing."""

from surveillance.rules import sources as source
from surveillance.rules.rule import Rule

OUTCOMES = (
    Rule(
        "treatment_without_end_days",
        28,
        "days",
        "An episode without a recorded last dose counts as under treatment for 28 days.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
    Rule(
        "follow_up_days",
        28,
        "days",
        "Outcomes are counted once 28 days have passed since the last dose.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
    Rule(
        "follow_up_without_end_days",
        90,
        "days",
        "Without a recorded last dose, outcomes are counted 90 days after onset.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
    Rule(
        "long_transfer_days",
        30,
        "days",
        "A transfer to haemodialysis prevents cure when 30 days or more pass before the next day "
        "at risk.",
        source.REGISTRY,
        "summary",
        "seen",
    ),
    Rule(
        "refractory_from_day",
        5,
        "days",
        "Refractory is judged on the first sample from day 5 after the first appropriate "
        "antibiotic, that day being day 0.",
        source.REFRACTORY,
        "text",
        "seen",
    ),
    Rule(
        "refractory_leucocytes_above_per_ul",
        100,
        "per µL",
        "A cloudy effluent or more than 100 leucocytes per µL then is refractory.",
        source.REFRACTORY,
        "text",
        "seen",
    ),
)

DEATH_2022 = (
    Rule(
        "death_window_days",
        30,
        "days",
        "A death within 30 days of onset, or in an admission for the episode, belongs to it.",
        source.ISPD_2022,
        source.NOT_READ,
        "memory",
    ),
    Rule(
        "death_under_treatment",
        0,
        "",
        "A death later than that but still under treatment does not belong to the episode.",
        source.ISPD_2022,
        source.NOT_READ,
        "memory",
    ),
)

DEATH_2016 = (
    Rule(
        "death_window_days",
        28,
        "days",
        "A death within 28 days of onset, or in an admission for the episode, belongs to it (four "
        "weeks in the text).",
        source.BALZER,
        "pp. 221-222",
        "seen",
    ),
    Rule(
        "death_under_treatment",
        1,
        "",
        "A death under treatment belongs to the episode.",
        source.BALZER,
        "pp. 221-222",
        "seen",
    ),
)
