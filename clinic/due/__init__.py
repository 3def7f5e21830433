"""What is due for whom: read from the record, so a line leaves when its one thing is written."""

from clinic.due.arrivals import Arrival, arrivals
from clinic.due.calls import waiting_calls
from clinic.due.judgements import judgements_asked, without_hidden
from clinic.due.line import Due
from clinic.due.lists import due_list, due_soon, next_due

__all__ = [
    "Arrival",
    "Due",
    "arrivals",
    "due_list",
    "due_soon",
    "judgements_asked",
    "next_due",
    "waiting_calls",
    "without_hidden",
]
