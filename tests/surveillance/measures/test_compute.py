"""The method from end to end on records small enough to count by hand."""

from datetime import date

import pandas as pd
import pytest

from surveillance.measures.compute import compute, results_by_part
from surveillance.rules import RULE_SETS
from surveillance.tables import RESULT_TABLES, YES
from tests.surveillance.records import catalogue, cells_met, make_record, peritonitis, spell
from tests.surveillance.results import rows_of

AS_OF = date(2025, 9, 30)
TWO = make_record(
    clinics=("B", "A"),
    patients=[
        {"clinic": 0, "patient": "P"},
        {"clinic": 0, "patient": "Q"},
        {"clinic": 1, "patient": "P"},
    ],
    pd_spells=[
        spell("2024-07-01", modality="capd"),
        spell("2025-07-01", patient=1),
        spell("2024-01-01", patient=2),
    ],
    trainings=[{"completed_on": "2025-07-01", "trainer": "T"}],
    peritonitis=[peritonitis("E1", "2025-08-01"), peritonitis("E1", "2024-05-01", patient=2)],
    effluent_samples=[cells_met(0, "2025-08-01", culture="no_growth"), cells_met(1, "2024-05-01")],
    catheters=[{"catheter": "C", "inserted_on": "2025-07-15"}],
    catheter_infections=[
        {
            "infection": "X",
            "site": "both",
            "onset_on": "2025-08-05",
            "purulent_discharge": YES,
            "tunnel_collection": YES,
        }
    ],
)


def figures(period, split="", clinic="B"):
    rows = rows_of(TWO, "measures", as_of=AS_OF)
    return {
        (row["measure"], row["band"]): (row["numerator"], row["denominator"])
        for row in rows
        if (row["clinic"], row["period"], row["split"]) == (clinic, period, split)
    }


def test_the_quarter_of_two_patients_by_hand():
    found = figures("2025-Q3")
    days = 92 + 92
    assert found["peritonitis_rate", ""] == (1, days)
    assert found["exit_site_infection_rate", ""] == (1, days)
    assert found["tunnel_infection_rate", ""] == (1, days)
    assert found["catheter_infection_rate", ""] == (1, days)
    assert found["median_patient_rate", ""] == (1, 2)
    assert found["peritonitis_free_share", ""] == (1, 2)
    assert found["culture_negative_share", ""] == (1, 1)
    assert found["medical_cure_share", ""] == (0, 0)
    assert found["insertion_related_share", ""] == (1, 1)


def test_bands_add_up_to_the_undivided_row():
    for split in ("time_since_training", "trainer", "modality", "catheter_age"):
        rows = [
            pair
            for (name, _), pair in figures("2025-Q3", split).items()
            if name == "peritonitis_rate"
        ]
        assert tuple(map(sum, zip(*rows, strict=True))) == (1, 184)


def test_organism_bands_have_all_days_each():
    found = figures("2025-Q3", "organism_group")
    assert found["peritonitis_rate", "culture_negative"] == (1, 184)
    assert found["peritonitis_rate", "fungal"] == (0, 184)
    assert sum(name == "peritonitis_rate" for name, _ in found) == 20
    assert sum(name == "organism_rate" for name, _ in found) == 16


def test_a_clinic_has_the_same_rows_alone():
    result = compute(TWO, catalogue(), RULE_SETS["rule_2022"], AS_OF)
    parts = results_by_part(TWO, catalogue(), RULE_SETS["rule_2022"], AS_OF, patients_at_a_time=1)
    alone = {str(part.measures["clinic"].iloc[0]): part for part in parts}
    for name in RESULT_TABLES:
        whole = getattr(result, name)
        apart = pd.concat([getattr(alone[clinic], name).astype(object) for clinic in "AB"])
        pd.testing.assert_frame_equal(
            whole.astype(object), apart.reset_index(drop=True), check_dtype=False
        )


def test_clinics_stand_in_order_of_their_text():
    rows = rows_of(TWO, "measures", as_of=AS_OF)
    clinics = [row["clinic"] for row in rows]
    assert clinics == sorted(clinics)


@pytest.mark.parametrize("table", RESULT_TABLES)
def test_columns_are_the_declared_ones_even_without_rows(table):
    result = compute(make_record(), catalogue(), RULE_SETS["rule_2022"], AS_OF)
    frame = getattr(result, table)
    assert list(frame.columns) == [column.name for column in RESULT_TABLES[table]]
    assert frame.empty


def test_the_handbook_census_gives_2017_days():
    """published_checks W05: first and last day both count."""
    starts = ["2025-01-01"] * 20 + ["2025-02-05"] + ["2025-02-10"] * 2
    starts += ["2025-03-12"] * 2 + ["2025-03-21"] * 2
    record = make_record(
        patients=[{"patient": f"P{number:02d}"} for number in range(len(starts))],
        pd_spells=[
            spell(start, "2025-03-31", patient=number) for number, start in enumerate(starts)
        ],
    )
    rows = rows_of(record, "days", as_of=date(2025, 3, 31))
    quarter = [row for row in rows if (row["period"], row["split"]) == ("2025-Q1", "")]
    assert [row["days_at_risk"] for row in quarter] == [2017]
