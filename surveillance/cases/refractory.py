"""Whether an episode did not clear: a clinician's judgement, else the first sample from day 5."""

from __future__ import annotations

import numpy as np

from surveillance.cases.episodes import Episodes
from surveillance.cases.sequence import Sequence
from surveillance.cases.treated import Treated
from surveillance.rules import RuleSet
from surveillance.tables import NO, NO_DAY, YES
from surveillance.time_at_risk.seen import days_of, first_known
from surveillance.time_at_risk.splits import text_rank
from surveillance.time_at_risk.stretches import Ints
from surveillance.time_at_risk.timeline import Timeline

REFRACTORY = ("no", "yes", "not_assessable")
NOT_ASSESSABLE = 2


def _judged_samples(
    at: Timeline, rows: Episodes, chained: Sequence, treated: Treated, rule_set: RuleSet
) -> tuple[Ints, Ints]:
    """Sample and its episode, for each that may show whether therapy works, the earliest first."""
    samples, episodes = at.record.effluent_samples, at.record.peritonitis
    owner = samples["episode"].to_numpy()
    episode = treated.place_of(len(rows))[chained.first[owner]]
    source = np.append(treated.row, 0)[episode]  # peritonitis comes first in Episodes
    given = first_known(
        days_of(episodes, "appropriate_antibiotic_on"), days_of(episodes, "first_antibiotic_on")
    )
    start = np.append(given, NO_DAY)[source]
    day = days_of(samples, "collected_on")
    says = (samples["leucocytes_per_ul"].notna() | samples["appearance"].notna()).to_numpy()
    first = np.maximum(
        np.append(treated.onset, 0)[episode], start + rule_set.days("refractory_from_day")
    )
    last = np.append(treated.treatment_end, 0)[episode]
    useful = (episode >= 0) & (start != NO_DAY) & says & (first <= day) & (day <= last)
    sample = np.flatnonzero(useful)
    names = (text_rank(samples["sample"].iloc[sample]), rows.name_rank[owner[sample]])
    order = np.lexsort((*names, samples["collected_at"].to_numpy()[sample], day[sample]))
    return sample[order], episode[sample[order]]


def refractory(
    at: Timeline, rows: Episodes, chained: Sequence, treated: Treated, rule_set: RuleSet
) -> Ints:
    """Judged by a clinician, else by the first sample late enough under treatment.

    Source: design 3.1, outcomes. Test: tests/surveillance/cases/test_outcomes.py.
    """
    samples = at.record.effluent_samples
    limit = rule_set.number("refractory_leucocytes_above_per_ul")
    bad = ((samples["appearance"] == "cloudy") | (samples["leucocytes_per_ul"] > limit)).to_numpy()
    sample, episode = _judged_samples(at, rows, chained, treated, rule_set)
    found = np.full(len(treated.row), NOT_ASSESSABLE, dtype=np.int64)
    with_sample, place = np.unique(episode, return_index=True)
    found[with_sample] = bad[sample[place]]
    judged = at.record.peritonitis["judged_refractory"].to_numpy()[treated.row]
    return np.select([judged == YES, judged == NO], [YES, NO], found)
