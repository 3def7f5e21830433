"""A patient's strip: what stands on it, and its drawing."""

from surveillance.strip.events import (
    Event,
    Span,
    Word,
    admission,
    catheter,
    catheter_infection,
    contamination,
    pd_pause,
    pd_spell,
    peritonitis,
    training,
)
from surveillance.strip.picture import Strip, strip, twelve_months_before

__all__ = [
    "Event",
    "Span",
    "Strip",
    "Word",
    "admission",
    "catheter",
    "catheter_infection",
    "contamination",
    "pd_pause",
    "pd_spell",
    "peritonitis",
    "strip",
    "training",
    "twelve_months_before",
]
