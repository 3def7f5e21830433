"""Blocks become rows: sorted, empty where there is no number, one column for each name."""

import numpy as np

from surveillance.signals.rows import Block, signal_frame
from surveillance.table_text import table_text
from surveillance.tables import SIGNALS


def block(rule: str, clinic: list[int], ends: list[int], band: list[str] | str = "") -> Block:
    size = len(clinic)
    said = ["said, with a comma"] * size
    own = np.array(clinic, dtype=np.int64)
    return Block(rule, own, 0, ends, 1, np.inf, 2.0, np.nan, 0.5, said, band=band)


def test_rows_stand_by_clinic_rule_band_and_window() -> None:
    blocks = [block("looks", [1, 0], [5, 5]), block("cusum", [0, 0, 0], [9, 3, 3], ["b", "b", "a"])]
    frame = signal_frame(blocks, ["A", "B"])
    assert list(frame.columns) == [column.name for column in SIGNALS]
    keys = frame[["clinic", "rule", "band", "window_end"]].astype(str).to_numpy().tolist()
    assert keys == [
        ["A", "cusum", "a", "1970-01-04"],
        ["A", "cusum", "b", "1970-01-04"],
        ["A", "cusum", "b", "1970-01-10"],
        ["A", "looks", "", "1970-01-06"],
        ["B", "looks", "", "1970-01-06"],
    ]


def test_what_is_no_number_is_an_empty_cell() -> None:
    text = table_text("signals", signal_frame([block("looks", [0], [5])], ["A"]))
    line = 'A,looks,peritonitis_rate,,,1970-01-01,1970-01-06,1,,2.0,,,0.5,"said, with a comma"'
    assert text.splitlines()[1] == line


def test_no_rows_are_a_header() -> None:
    assert table_text("signals", signal_frame([block("looks", [], [])], ["A"])).count("\n") == 1
