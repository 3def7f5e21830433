"""Second judgements asked of one person: on that person's list and on nobody else's."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from clinic.blinding import hidden_episodes
from clinic.due.line import Due
from clinic.models import Clinic, Person, RootCauseReview, SecondJudgement


def judgements_asked(clinic: Clinic, judge: Person) -> Iterator[Due]:
    rows = SecondJudgement.objects.filter(
        judge=judge, judged_at=None, episode__patient__clinic=clinic, episode__withdrawn_at=None
    ).select_related("episode__patient__clinic", "asked_by")
    for row in rows:
        asked_on = row.asked_at.astimezone(clinic.zone).date()
        yield Due(
            row.episode, "A second judgement is asked of you",
            f"by {row.asked_by.name}; the first one is hidden from you until then", asked_on,
            "Judge it", ("give_second", "peritonitis", row.episode),
        )  # fmt: skip


def without_hidden(lines: Iterable[Due], reader: Person) -> list[Due]:
    """An action of a review tells what the review found."""
    hidden = set(hidden_episodes(reader).values_list("episode", flat=True))
    return [line for line in lines if not _tells(line, hidden)]


def _tells(line: Due, hidden: set[int]) -> bool:
    return isinstance(line.row, RootCauseReview) and line.row.peritonitis_id in hidden
