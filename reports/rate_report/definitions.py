"""The rules and targets in force, as a page and a file print them."""

from __future__ import annotations

from dataclasses import dataclass

from reports.rate_report.names import MEASURES
from surveillance.rules import RULE_SETS


@dataclass(frozen=True)
class Definition:
    """One rule or target, with where it comes from and how sure that is."""

    name: str
    says: str
    source: str
    place: str
    certainty: str


@dataclass(frozen=True)
class Definitions:
    """A named rule set."""

    title: str
    rows: list[Definition]


def definitions(rule_set: str) -> Definitions:
    """Targets first, then every rule."""
    chosen = RULE_SETS[rule_set]
    targets = [
        Definition(
            f"target_{target.measure}",
            f"Target: {MEASURES[target.measure].title} {target.sign} {target.value:g}.",
            target.source, target.place, target.certainty,
        )
        for target in chosen.targets.values()
    ]  # fmt: skip
    rules = [
        Definition(rule.name, rule.says, rule.source, rule.place, rule.certainty)
        for rule in chosen.rules.values()
    ]
    return Definitions(chosen.title, targets + rules)
