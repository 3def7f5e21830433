"""The criteria of an episode as a table: what was found, what decides, whether it is met."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.utils.html import conditional_escape, format_html, format_html_join
from django.utils.safestring import SafeString

from clinic.patient_file import organisms_of
from surveillance.live import Live
from surveillance.rules import RuleSet
from surveillance.words import JUDGED

Row = dict[str, Any]

_ANSWERS = {"yes": "yes", "no": "no", "unknown": "not known", "": "not asked"}
_CULTURES = {
    "grown": "grew, organism not named yet",
    "no_growth": "no growth",
    "not_taken": "not taken",
    "pending": "still waiting",
    "": "not recorded",
}
_NUMBERS = {0: "None", 1: "One", 2: "Two", 3: "All three"}


def peritonitis_rows(episode: Any, case: Row, now: Live) -> list[Row]:
    """The three criteria, with the numbers that decide."""
    samples = list(episode.samples.all())
    cells = format_html_join(SafeString("<br>"), "{}", ((_count(each),) for each in samples))
    return [
        _row("Signs", _signs(episode, _SIGNS), "either one is enough", case["clinical_criterion"]),
        _row(
            "White cells", cells or "No effluent sample recorded.",
            cell_rule(now.rule_set), case["cell_criterion"],
        ),
        _row("Culture", _culture(episode), "any growth", case["culture_criterion"]),
    ]  # fmt: skip


_SIGNS = (("Cloudy effluent", "cloudy_effluent"), ("Abdominal pain", "abdominal_pain"))
_SITE_SIGNS = {
    "exit_site": ((("Pus at the exit site", "purulent_discharge"),), "pus decides"),
    "tunnel": (
        (
            ("Tunnel inflamed", "tunnel_inflammation"),
            ("Fluid along the tunnel", "tunnel_collection"),
        ),
        "either one is enough",
    ),
}


def site_row(infection: Any, case: Row) -> Row:
    """The one criterion of an exit-site or tunnel infection."""
    signs, decides = _SITE_SIGNS[case["kind"]]
    state = {"confirmed": "met", "not_confirmed": "not_met"}.get(
        case["confirmed"], "not_assessable"
    )
    name = "Exit site" if case["kind"] == "exit_site" else "Tunnel"
    return _row(name, _signs(infection, signs), decides, state)


def _row(name: str, found: str, decides: str, state: str) -> Row:
    so = JUDGED[state]
    return {"name": name, "found": found, "decides": decides, "state": state, "so": so}


def _signs(row: Any, signs: tuple[tuple[str, str], ...]) -> SafeString:
    said = ((label, _ANSWERS[getattr(row, name)]) for label, name in signs)
    return format_html_join(" ", "{}: <b>{}</b>.", said)


def cell_rule(rules: RuleSet) -> str:
    return (
        f"over {rules.number('leucocytes_above_per_ul'):g} per µL and over "
        f"{rules.number('neutrophils_above_percent'):g} % neutrophils, dwell "
        f"{rules.number('dwell_at_least_hours'):g} h or more"
    )


def _count(sample: Any) -> SafeString:
    """1,840 per µL, 86 % neutrophils, dwell 4 h (S1)."""
    cells, share, dwell = sample.leucocytes_per_ul, sample.neutrophil_percent, sample.dwell_hours
    return format_html(
        "{}, {}, {} ({})",
        format_html("<b>{}</b> per µL", f"{cells:,}") if cells is not None else "count not known",
        format_html("<b>{} %</b> neutrophils", f"{share:g}")
        if share is not None
        else "neutrophils not known",
        format_html("dwell <b>{} h</b>", f"{dwell:g}") if dwell is not None else "dwell not known",
        sample.sample,
    )


def _culture(episode: Any) -> str:
    names = organisms_of(episode)
    if names:
        return format_html_join(", ", '<i class="species">{}</i>', ((name,) for name in names))
    said = [f"{sample.sample}: {_CULTURES[sample.culture]}" for sample in episode.samples.all()]
    return conditional_escape("; ".join(said) or "No effluent sample recorded.")


def met_text(case: Row) -> str:
    """Two of three are met, so the episode is confirmed."""
    states = [case[f"{name}_criterion"] for name in ("clinical", "cell", "culture")]
    met, open_ = states.count("met"), states.count("not_assessable")
    of_three = "All three are met" if met == 3 else f"{_NUMBERS[met]} of three {_is(met)} met"
    if case["confirmed"] == "confirmed":
        return f"{of_three}, so the episode is confirmed."
    if case["confirmed"] == "not_confirmed":
        return f"{of_three}; two can no longer be reached, so peritonitis is ruled out."
    waiting = "one cannot be told yet" if open_ == 1 else f"{_NUMBERS[open_].lower()} not told yet"
    return f"{of_three}, {waiting}: the episode is suspected."


def _is(count: int) -> str:
    return "is" if count == 1 else "are"


def missing(episode: Any, case: Row, now: Live) -> Iterator[str]:
    """What would settle what cannot be told yet, in the order in which it is asked."""
    if case["clinical_criterion"] == "not_assessable":
        yield "Whether the effluent was cloudy or the abdomen hurt."
    if case["cell_criterion"] == "not_assessable":
        yield from _missing_count(episode, now.rule_set)
    if case["culture_group"] in ("not_cultured", "culture_pending"):
        yield "The result of a culture."
    elif case["culture_group"] == "positive" and not organisms_of(episode):
        yield "The name of the organism that grew."
    if episode.therapy_completed_on is None:
        yield "The day of the last dose: without it the next episode cannot be told from this one."
    elif episode.resolved == "" and case["confirmed"] == "confirmed":
        yield "Whether it resolved."


def _missing_count(episode: Any, rules: RuleSet) -> Iterator[str]:
    samples = list(episode.samples.all())
    least = rules.number("dwell_at_least_hours")
    if not samples:
        yield "An effluent sample with its cell count."
    elif any(each.dwell_hours is None for each in samples):
        yield f"How long the fluid dwelt: a count is judged after {least:g} hours or more."
    elif any(each.leucocytes_per_ul is None for each in samples):
        yield "The count of white cells."
    elif any(each.neutrophil_percent is None for each in samples):
        yield "The share of neutrophils."
    else:
        yield f"A count after a dwell of {least:g} hours or more."
