"""One cell, one meaning: what is read, what is refused, and the words of the refusal."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from clinic.columns import SUBJECTS
from clinic.reading import CellFault, cell_warnings, read_cell, read_row, shown

LONDON = ZoneInfo("Europe/London")
TODAY = date(2026, 1, 20)


def column(path):
    subject, name = path.split(".")
    return SUBJECTS[subject].column(name)


def read(path, text):
    return read_cell(column(path), text, LONDON, TODAY, "Tern Quay")


def fault(path, text):
    with pytest.raises(CellFault) as refused:
        read(path, text)
    return refused.value


ONSET, COUNT = "peritonitis.onset_on", "effluent_samples.leucocytes_per_ul"
DRAWN, DWELL = "effluent_samples.collected_at", "effluent_samples.dwell_hours"
PERCENT, ORGANISM = "effluent_samples.neutrophil_percent", "isolates.organism"
TRAINER, CLOUDY = "trainings.trainer", "peritonitis.cloudy_effluent"


# The ids are rows of bad_inputs.csv.
@pytest.mark.parametrize(
    ("path", "text", "said"),
    [
        pytest.param(ONSET, "2025-02-30", "30 February 2025 is not in the calendar", id="D01"),
        pytest.param("catheters.inserted_on", "2023-02-29", "2023 has no 29 February", id="D02"),
        pytest.param(ONSET, "2025-13-01", "there is no month 13", id="D01-month"),
        pytest.param(ONSET, "2026-01-21", "after today (20 Jan 2026 at Tern Quay)", id="D03"),
        pytest.param(ONSET, "03/04/2025", "write 2025-04-03 or 2025-03-04", id="D09"),
        pytest.param(ONSET, "25/12/2025", "write 2025-12-25", id="D09-clear"),
        pytest.param(ONSET, "3 Apr 2025", "write 2025-04-03", id="D09-named"),
        *(
            pytest.param(ONSET, text, "four-digit year, two-digit month and day, hyphens", id=text)
            for text in ("25-03-10", "2025-3-1", "20250310", "2025-W11-1", "２025-03-10", "?")
        ),
        pytest.param(
            "pd_spells.last_day_on", "9999-12-31", "leave empty while PD goes on", id="D11"
        ),
        pytest.param(ONSET, "0025-03-10", "before the year 1900", id="year-25"),
        pytest.param(
            DRAWN,
            "2025-03-30T01:30",
            "this time did not exist: clocks went from 01:00 to 02:00",
            id="D14",
        ),
        pytest.param(
            DRAWN,
            "2025-10-26T01:30",
            "happened twice: write 2025-10-26T01:30+01:00 or 2025-10-26T01:30+00:00",
            id="D15",
        ),
        pytest.param(DRAWN, "2025-03-10", "write 2025-03-10T09:40", id="no-time"),
        pytest.param(DRAWN, "2025-03-10 10:15", "write 2025-03-10T10:15", id="blank-for-T"),
        pytest.param(DRAWN, "2025-03-10T25:15", "25:15 is no time of day", id="hour-25"),
        pytest.param(DRAWN, "2025-03-10T10:15+15:00", "no offset from UTC", id="offset"),
        pytest.param(COUNT, "0.65", "whole cells per uL; 0.65 x10^9/L is 650 per uL", id="N01"),
        pytest.param(
            COUNT, "2300000", "above 500 000 per uL (setting); per mL or per litre?", id="N03"
        ),
        *(
            pytest.param(PERCENT, text, "0 to 100", id=f"N04 {text}")
            for text in ("101", "100.5", "-5")
        ),
        *(
            pytest.param(COUNT, text, "not a number", id=f"N06 {text}")
            for text in ("NaN", "Infinity", "1e309", "nan", "650/uL")
        ),
        pytest.param(DWELL, "2,5", "write 2.5", id="N07"),
        pytest.param(COUNT, "６５０", "digits 0-9", id="N08"),
        *(
            pytest.param(COUNT, text, "write 1250", id=f"N09 {shown(text)}")
            for text in ("1_250", "1,250", "1\u202f250", "1 250")
        ),
        pytest.param(COUNT, "9" * 20, "too large", id="N09-large"),
        *(
            pytest.param(CLOUDY, text, "allowed: yes, no, unknown", id=f"N10 {text}")
            for text in ("TRUE", "1", "Y", "Yes")
        ),
        pytest.param(DWELL, "240", "240 minutes are 4 hours", id="N11"),
        pytest.param(DWELL, "-0.5", "0 to 72 (setting)", id="N11-negative"),
        pytest.param("trainings.hours", "0", "above 0", id="hours"),
        pytest.param(ORGANISM, "Cloudy bag\x00 since 06:00", "null character", id="T01"),
        pytest.param(TRAINER, "T-01\u202egnp", "hidden direction character U+202E", id="T02"),
        pytest.param(TRAINER, "T-0\u200b1", "invisible character U+200B", id="T09"),
        pytest.param(TRAINER, "T-0\u31641", "invisible character U+3164", id="filler"),
        pytest.param(TRAINER, "T\n01", "control character U+000A", id="line-break"),
        pytest.param(TRAINER, "Ren\udce9", "byte E9 is not UTF-8", id="F03"),
        pytest.param(TRAINER, "half \ud83d", "half a character (U+D83D)", id="half"),
        pytest.param(TRAINER, "a" * 201, "at most 200 characters, this has 201", id="T05"),
        pytest.param("clinics.time_zone", "Europe/Lundun", "IANA time zone", id="zone"),
        pytest.param("catheters.catheter", " \u00a0 ", "must be filled", id="blank"),
    ],
)
def test_a_faulty_cell_is_told_what_to_write(path, text, said):
    assert said in str(fault(path, text))


@pytest.mark.parametrize(
    ("path", "text", "value"),
    [
        pytest.param(ONSET, "2025-02-28", date(2025, 2, 28), id="D01"),
        pytest.param("catheters.inserted_on", "2024-02-29", date(2024, 2, 29), id="D02"),
        pytest.param(ONSET, "2026-01-20", date(2026, 1, 20), id="D03"),
        pytest.param(
            DRAWN, "2025-03-31T23:30:00Z", datetime(2025, 3, 31, 23, 30, tzinfo=UTC), id="D13"
        ),
        pytest.param(
            DRAWN, "2025-04-01T00:30", datetime(2025, 3, 31, 23, 30, tzinfo=UTC), id="D13-local"
        ),
        pytest.param(
            DRAWN, "2025-03-30T01:30+00:00", datetime(2025, 3, 30, 1, 30, tzinfo=UTC), id="D14"
        ),
        pytest.param(
            DRAWN, "2025-10-26T01:30+01:00", datetime(2025, 10, 26, 0, 30, tzinfo=UTC), id="D15"
        ),
        pytest.param(COUNT, "500000", 500_000, id="N03"),
        pytest.param(PERCENT, "0", 0.0, id="N04-0"),
        pytest.param(PERCENT, "100", 100.0, id="N04-100"),
        pytest.param(DWELL, "14", 14.0, id="N11"),
        pytest.param(COUNT, "", None, id="unknown-number"),
        pytest.param(CLOUDY, "", "", id="unknown-answer"),
        pytest.param(ORGANISM, "ok \U0001f637 \U0001f469\U0001f3fd\u200d\u2695\ufe0f",
                     "ok \U0001f637 \U0001f469\U0001f3fd\u200d\u2695\ufe0f", id="T03"),
        pytest.param(TRAINER, "Zoe\u0308", "Zo\u00eb", id="T04"),
        pytest.param(ORGANISM, "\t=1", "\t=1", id="T08"),
        pytest.param(TRAINER, "\u00a0T-01 ", "T-01", id="T09"),
    ],
)  # fmt: skip
def test_the_nearest_good_cell_is_read(path, text, value):
    assert read(path, text) == value


def test_text_of_a_template_language_stays_text():
    words = "{{ 7*7 }} {% debug %} ${7*7} %(password)s {0.__class__}"
    assert read(ORGANISM, words) == words


@pytest.mark.parametrize(
    ("path", "text", "offered"),
    [
        (COUNT, "0.65", ["650"]),
        (DRAWN, "2025-10-26T01:30", ["2025-10-26T01:30+01:00", "2025-10-26T01:30+00:00"]),
    ],
)
def test_a_form_may_ask_and_each_answer_can_be_read(path, text, offered):
    asked = fault(path, text)
    assert asked.question and [answer for _, answer in asked.offers] == offered
    for answer in offered:
        read(path, answer)


@pytest.mark.parametrize(
    ("path", "text", "code"),
    [
        (PERCENT, "0.88", "percent_as_share"),
        (COUNT, "50000", "cells_high"),
        (TRAINER, "\u00a0T-01 ", "blanks_removed"),
        (ORGANISM, "Blue rod", "organism_unlisted"),
    ],
)
def test_an_unusual_cell_is_stored_with_a_warning(path, text, code):
    value = read(path, text)
    assert [said.code for said in cell_warnings(column(path), text, value)] == [code]


@pytest.mark.parametrize(
    ("path", "text"),
    [(PERCENT, "1"), (PERCENT, "0"), (COUNT, "49999"), (ORGANISM, "s.  AUREUS"), (TRAINER, "T-01")],
)
def test_a_usual_cell_has_no_warning(path, text):
    assert cell_warnings(column(path), text, read(path, text)) == []


def test_a_row_tells_every_fault_at_once():
    cells = {"sample": "S1", "dwell_hours": "2,5", "culture": "GROWN", "neutrophil_percent": "0.9"}
    row = read_row(SUBJECTS["effluent_samples"], cells, LONDON, TODAY)
    assert set(row.faults) == {"dwell_hours", "culture"}
    assert row.values["sample"] == "S1" and set(row.warnings) == {"neutrophil_percent"}


def test_a_message_hides_nothing():
    assert shown("a\u202eb\udce9\n") == "a\\u202eb\\xe9\\n"
    assert len(shown("a" * 500)) == 81
