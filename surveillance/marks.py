"""Which mark of the page's set stands for an episode: its shape the category, filled = counted."""

from __future__ import annotations

SITES = ("exit_site", "tunnel")


def episode_mark(kind: str, confirmed: str, sequence: str, counts: bool) -> str:
    """The mark of a case row; codes as in the case table. Proved by test_marks."""
    filling = "" if counts else "-open"
    if kind in SITES:
        return f"{kind}{filling}"
    if confirmed != "confirmed":
        return f"{confirmed}-open"
    return f"{sequence}{filling}"


def training_mark(kind: str, competent: bool) -> str:
    """A pin; its head says why the training was, open = not competent."""
    return kind if competent else f"{kind}-open"


def contamination_mark(kind: str, prophylaxis: bool) -> str:
    """A drop: wet filled, dry open, underlined where prophylaxis was given."""
    return f"{kind}-prophylaxis" if prophylaxis else kind
