"""When each invented fact was entered: mostly within days, some of it weeks late."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import numpy as np

from clinic.columns import SUBJECTS
from clinic.demo.begins import BEGINS, day_of
from clinic.demo.chance import happens, within
from clinic.demo.parameters import EntryNumbers
from clinic.demo.record_folder import Row, Rows

# Others hang on these: entered on the very day.
_SAME_DAY = ("patients", "effluent_samples", "isolates", "susceptibilities")


def delay_days(rng: np.random.Generator, numbers: EntryNumbers) -> int:
    """A few days mostly, then weeks, then so late that a quarter was closed meanwhile."""
    draw = float(rng.random())
    if draw < numbers.late_share:
        return within(rng, numbers.late_days)
    if draw < numbers.late_share + numbers.later_share:
        return within(rng, numbers.later_days)
    return int(rng.exponential(numbers.soon_mean_days))


def mark_entered(
    rows: Rows, rng: np.random.Generator, first_day: date, delays: dict[str, int]
) -> None:
    """Each row gets the moment at which it was entered, under `recorded_at`.

    `delays`: days after the onset's day by episode; what belongs to an episode is never entered
    before it. Beside that a row is entered on its day or the next, results on their day.
    """
    begun: dict[object, datetime] = {}
    for subject in (name for name in SUBJECTS if name in rows):
        for row in rows[subject]:
            about = row.get(BEGINS.get(subject, "")) or row.get("onset_on")
            day = max(day_of(about) or first_day, first_day)
            wait = 0 if subject in _SAME_DAY else int(happens(rng, 0.2))
            entered_at = _at_the_desk(rng, day + timedelta(days=wait))
            episode = row.get("episode")
            if subject == "peritonitis" and isinstance(episode, str):
                entered_at = _at_the_desk(rng, day + timedelta(days=delays.get(episode, 0)))
                begun[episode] = entered_at
            elif episode in begun:
                entered_at = max(entered_at, begun[episode])
            row["recorded_at"] = entered_at


def _at_the_desk(rng: np.random.Generator, day: date) -> datetime:
    minute = within(rng, (8 * 60, 18 * 60))
    return datetime(day.year, day.month, day.day, minute // 60, minute % 60)  # noqa: DTZ001


def entered_by(rows: Rows, day: date) -> Rows:
    """Without the rows that were entered later; clinics are always known."""
    return {
        subject: made if subject == "clinics" else [row for row in made if _entered(row, day)]
        for subject, made in rows.items()
    }


def _entered(row: Row, day: date) -> bool:
    moment = row["recorded_at"]
    assert isinstance(moment, datetime)
    return moment.date() <= day
