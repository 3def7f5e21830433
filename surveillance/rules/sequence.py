"""How an episode is told from the one before it."""

from surveillance.rules import sources as source
from surveillance.rules.rule import Rule

SEQUENCE = (
    Rule(
        "relapse_window_days",
        28,
        "days",
        "Relapsing and recurrent episodes begin 1 to 28 days after the last dose of the episode "
        "before; from day 29 on an episode is repeat or new (four weeks in the text).",
        f"{source.BALZER}; {source.SZETO}",
        "p. 221; abstract",
        "seen",
    ),
    Rule(
        "gap_of_same_episode_days",
        0,
        "days",
        "An onset on or before the last dose of the episode before belongs to that episode.",
        source.OURS,
        source.DESIGN,
        "our choice",
    ),
)
