"""What is hidden from a person who is asked to judge an episode a second time, until they have.

access.csv, episode.second_judgement: the first judgement is hidden in page, API and history alike.
The judgement is where the episode came from: its root-cause reviews, and the source as judged.
"""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from clinic.models import AuditEvent, Peritonitis, Person, RootCauseReview, SecondJudgement

JUDGEMENT = frozenset({"judged_source"})  # columns of the episode; of a review it is all of it


def hidden_episodes(person: Any) -> QuerySet[SecondJudgement]:
    """Ids of the episodes that this person is still to judge."""
    judge = person if isinstance(person, Person) else None
    return SecondJudgement.objects.filter(judge=judge, judged_at=None).values("episode")


def is_hidden(row: Any, person: Any) -> bool:
    """Whether the first judgement that the row holds is hidden from the person."""
    episode = {Peritonitis: row, RootCauseReview: getattr(row, "peritonitis", None)}.get(type(row))
    return episode is not None and hidden_episodes(person).filter(episode=episode).exists()


def open_to(rows: QuerySet[Any], person: Any) -> QuerySet[Any]:
    """Reviews without those that are hidden; rows of any other subject as they are."""
    if rows.model is not RootCauseReview:
        return rows
    return rows.exclude(peritonitis__in=hidden_episodes(person))


def first_judges(episode: Peritonitis) -> set[int]:
    """Who reviewed the episode or judged its source: nobody of them judges a second time."""
    reviews = list(episode.rootcausereview_rows.values_list("uid", flat=True))
    events = AuditEvent.objects.filter(thing_uid__in=[episode.uid, *reviews]).exclude(by=None)
    return {
        event.by_id for event in events
        if event.thing_uid != episode.uid or JUDGEMENT & set(event.changes)
    }  # fmt: skip


def is_judged(episode: Peritonitis) -> bool:
    standing = episode.rootcausereview_rows.filter(withdrawn_at=None)
    return bool(episode.judged_source) or standing.exists()
