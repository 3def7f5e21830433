"""Text columns of the result are categories in code-point order, never missing."""

import numpy as np
import pandas as pd

from surveillance.text_columns import by_clinic, constant, days_as_text, of_codes, of_texts, stacked


def test_a_code_below_zero_is_an_empty_text():
    assert of_codes(np.array([1, -1, 0]), ["b", "a"]).tolist() == ["a", "", "b"]


def test_categories_stand_in_code_point_order():
    assert of_codes(np.array([0]), ["é", "z", "B"]).categories.tolist() == ["", "B", "z", "é"]


def test_days_become_iso_text():
    assert days_as_text(np.array([0, 59])).tolist() == ["1970-01-01", "1970-03-01"]


def test_tables_under_each_other_share_their_categories():
    frames = [pd.DataFrame({"clinic": constant(name, 1), "days": [1]}) for name in "BA"]
    whole = stacked(frames)
    assert whole["clinic"].tolist() == ["B", "A"]
    assert whole["clinic"].cat.categories.tolist() == ["A", "B"]


def test_rows_are_sorted_by_clinic_and_otherwise_left():
    frame = pd.DataFrame({"clinic": of_texts(np.array(["B", "A", "B"])), "days": [1, 2, 3]})
    assert by_clinic(frame)["days"].tolist() == [2, 1, 3]
