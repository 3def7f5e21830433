"""What an exit-site check says: the score of its five signs is shown, and pus alone decides.

Score: Schaefer, five signs of 0 to 2 (standards 4); it misses a third of infections and agrees
less on dark skin, so it never creates one.
"""

from __future__ import annotations

from clinic.models import ExitSiteCheck
from clinic.nursing_columns import SCORED_SIGNS

_HEALTHY = ("perfect", "good", "")


def score(check: ExitSiteCheck) -> tuple[int, int]:
    """The sum of the signs that were judged, and how many of the five were."""
    given = [int(getattr(check, name)) for name in SCORED_SIGNS if getattr(check, name)]
    return sum(given), len(given)


def has_pus(check: ExitSiteCheck) -> bool:
    return check.purulent_discharge == "yes" or check.secretion == "2"


def has_tunnel_sign(check: ExitSiteCheck) -> bool:
    return "yes" in (check.tunnel_inflammation, check.tunnel_collection)


def calls_for_infection(check: ExitSiteCheck) -> bool:
    """Whether the rule's own signs are there: pus, or a sign along the tunnel."""
    return has_pus(check) or has_tunnel_sign(check)


def looks_healthy(check: ExitSiteCheck) -> bool:
    return not calls_for_infection(check) and score(check)[0] == 0 and check.appearance in _HEALTHY


def score_text(check: ExitSiteCheck) -> str:
    """3 of 10; 2 of 6 judged; the signs that nobody judged are no zero."""
    total, judged = score(check)
    if not judged:
        return "not scored"
    return f"{total} of 10" if judged == len(SCORED_SIGNS) else f"{total} of {2 * judged} judged"


def finding(check: ExitSiteCheck) -> str:
    """What follows from the check, in a sentence."""
    if has_pus(check):
        return "Pus: an exit-site infection by the rule. Record it."
    if has_tunnel_sign(check):
        return "A sign along the tunnel: a tunnel infection by the rule. Record it."
    if score(check)[0]:
        return "No pus and no sign along the tunnel: no infection by the rule; look again."
    return "Nothing found."


def infection_of(check: ExitSiteCheck) -> dict[str, str]:
    """What the check already answers of the infection's form."""
    pus, tunnel = has_pus(check), has_tunnel_sign(check)
    site = "both" if pus and tunnel else "tunnel" if tunnel else "exit_site"
    answers = {
        "site": site,
        "onset_on": check.checked_on.isoformat(),
        "purulent_discharge": "yes" if pus else check.purulent_discharge,
        "redness": {"": "", "0": "no"}.get(check.redness, "yes"),
        "tunnel_inflammation": check.tunnel_inflammation,
        "tunnel_collection": check.tunnel_collection,
    }
    return {name: value for name, value in answers.items() if value}
