"""The case table as the seam declares it: one row an episode, sorted, in words."""

from __future__ import annotations

from collections.abc import Sequence as Texts

import numpy as np
import pandas as pd

from surveillance.cases import criteria
from surveillance.cases.cases import REASONS, Cases
from surveillance.cases.catheters import INSERTION_RELATED
from surveillance.cases.classes import SEQUENCES
from surveillance.cases.episodes import KINDS
from surveillance.cases.organism_classes import CLASSES, joined_names
from surveillance.cases.refractory import REFRACTORY
from surveillance.tables import NO_DAY
from surveillance.text_columns import days_as_text, of_codes, of_texts
from surveillance.time_at_risk.stretches import Bools, Ints
from surveillance.time_at_risk.timeline import BEFORE_PD, Timeline

FLAG = ("no", "yes")
TIMING = ("pd_associated", "pre_pd")


def _asked(codes: Ints | Bools, asked: Bools) -> Ints:
    return np.where(asked, codes, -1).astype(np.int64)


def _outcome_columns(made: Cases, order: Ints) -> dict[str, pd.Categorical]:
    found, size = made.outcomes, len(made.rows)
    columns: dict[str, pd.Categorical] = {}
    flags: dict[str, tuple[Ints | Bools, Texts[str]]] = {
        "medical_cure": (found.medical_cure, FLAG),
        "refractory": (found.refractory, REFRACTORY),
        "catheter_removed": (found.catheter_removed, FLAG),
        "haemodialysis_transfer": (found.haemodialysis_transfer, FLAG),
        "died": (found.died, FLAG),
        "admitted": (found.admitted, FLAG),
    }
    for name, (values, labels) in flags.items():
        codes = np.full(size, -1, dtype=np.int64)
        codes[found.treated.row] = values
        columns[name] = of_codes(codes[order], labels)
    return columns


def _sequence_columns(made: Cases, order: Ints) -> dict[str, object]:
    chained, rows = made.chained, made.rows
    index = chained.index[order]
    names = np.append(rows.name, "")[index]
    gap = chained.gap_days[order]
    return {
        "sequence": of_codes(chained.sequence[order], SEQUENCES),
        "index_episode": of_texts(names),
        "gap_days": np.where(gap == NO_DAY, np.nan, gap.astype(np.float64)),
    }


def _judgement_columns(made: Cases, order: Ints) -> dict[str, pd.Categorical]:
    rows = made.rows
    clinical, cells, culture = (
        of_codes(codes[order], criteria.CRITERION) for codes in rows.criteria
    )
    joined, texts = joined_names(made.groups)
    return {
        "clinical_criterion": clinical,
        "cell_criterion": cells,
        "culture_criterion": culture,
        "confirmed": of_codes(rows.confirmed[order], criteria.CONFIRMATION),
        "culture_group": of_codes(made.chained.culture[order], criteria.CULTURE_GROUPS),
        "organism_group": of_codes(made.organism_class[order], CLASSES),
        "organism_groups": of_codes(joined[order], texts),
    }


def case_table(at: Timeline, made: Cases) -> pd.DataFrame:
    """The case table of design 3.1, sorted by clinic, onset, patient, kind, episode.

    Test: tests/surveillance/cases/test_case_table.py.
    """
    rows, record = made.rows, at.record
    order = np.lexsort((rows.name_rank, rows.kind, rows.patient, rows.onset, made.clinic))
    is_confirmed = rows.confirmed == criteria.CONFIRMED
    related = _asked(made.catheter_related, is_confirmed & made.is_peritonitis)
    columns = {
        "clinic": of_codes(made.clinic[order], record.clinics["clinic"].tolist()),
        "patient": of_texts(record.patients["patient"].to_numpy(object)[rows.patient[order]]),
        "episode": of_texts(rows.name[order]),
        "onset_on": days_as_text(rows.onset[order]),
        "kind": of_codes(rows.kind[order], KINDS),
        **_judgement_columns(made, order),
        "timing": of_codes((made.state[order] == BEFORE_PD).astype(np.int64), TIMING),
        "insertion_related": of_codes(made.insertion_related[order], INSERTION_RELATED),
        **_sequence_columns(made, order),
        "catheter_related": of_codes(related[order], FLAG),
        **_outcome_columns(made, order),
        "counts": of_codes(made.counts[order].astype(np.int64), FLAG),
        "reason": of_codes(made.reason[order], REASONS),
    }
    return pd.DataFrame(columns)
