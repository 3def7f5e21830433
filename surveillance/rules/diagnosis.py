"""What makes an episode: criteria of peritonitis, and the windows around an insertion."""

from surveillance.rules import sources as source
from surveillance.rules.rule import Rule

DIAGNOSIS = (
    Rule(
        "criteria_needed",
        2,
        "criteria",
        "Peritonitis is confirmed when two of three criteria are met: clinical signs, cell count, "
        "culture.",
        source.BALZER,
        "p. 221",
        "seen",
    ),
    Rule(
        "leucocytes_above_per_ul",
        100,
        "per µL",
        "The cell criterion needs more than 100 leucocytes per µL; 100 does not meet it.",
        source.BALZER,
        "p. 221",
        "seen",
    ),
    Rule(
        "neutrophils_above_percent",
        50,
        "%",
        "The cell criterion needs more than 50 % neutrophils; 50 % does not meet it.",
        source.BALZER,
        "p. 221",
        "seen",
    ),
    Rule(
        "dwell_at_least_hours",
        2,
        "h",
        "A cell count is judged after a dwell of at least 2 hours.",
        source.BALZER,
        "p. 221",
        "seen",
    ),
    Rule(
        "insertion_window_days",
        30,
        "days",
        "An episode is insertion-related from day 0 to day 30 after the latest insertion.",
        source.ISPD_2022,
        source.NOT_READ,
        "memory",
    ),
    Rule(
        "catheter_related_window_days",
        90,
        "days",
        "A peritonitis is catheter-related when a confirmed catheter infection lies at most 90 "
        "days before or after it (three months in the text) and the organisms agree or one is "
        "sterile.",
        source.ISPD_2022,
        source.NOT_READ,
        "memory",
    ),
    Rule(
        "exit_site_signs",
        ("purulent_discharge",),
        "",
        "Pus makes an exit-site infection; redness, a score or a swab alone never does.",
        source.ISPD_2017,
        "definitions",
        "seen",
    ),
    Rule(
        "tunnel_signs",
        ("tunnel_inflammation", "tunnel_collection"),
        "",
        "Inflammation along the tunnel or a collection there makes a tunnel infection.",
        source.ISPD_2017,
        "definitions",
        "seen",
    ),
)
