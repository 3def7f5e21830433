"""Random clinics for hypothesis: the same generator, drawn so that a failure can shrink."""

from random import Random

from hypothesis import strategies as st

from tests.recount.random_clinics import Question, build_question, build_record
from tests.recount.seen import Rows


@st.composite
def asked_records(draw: st.DrawFn, most_clinics: int = 2) -> tuple[Rows, Question]:
    """A record and what is asked of it.

    Hypothesis steers every choice the generator makes; each choice has its plainest value first,
    so shrinking goes to fewer clinics, patients and rows.
    """
    rng: Random = draw(st.randoms(use_true_random=False))
    rows = build_record(rng, draw(st.integers(1, most_clinics)))
    return rows, build_question(rng, rows)
