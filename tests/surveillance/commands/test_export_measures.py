"""export_measures: the latest computation as the very bytes, of one clinic, a network or all."""

import csv
import io
import json
from datetime import date
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from clinic.models import AuditEvent, Clinic, Patient
from surveillance.models import SnapshotTable
from surveillance.snapshots import latest_snapshot, table_bytes
from tests import factories
from tests.surveillance.conftest import make_base_patient

COLUMNS = {
    # design 3.1 to 3.3, to the letter
    "measures": "clinic,period,period_start,period_end,measure,split,band,numerator,denominator,"
    "denominator_unit,value,lower,upper,level,interval,target,verdict,rule_set,as_of",
    "cases": "clinic,patient,episode,onset_on,kind,clinical_criterion,cell_criterion,"
    "culture_criterion,confirmed,culture_group,organism_group,organism_groups,timing,"
    "insertion_related,sequence,index_episode,gap_days,catheter_related,medical_cure,refractory,"
    "catheter_removed,haemodialysis_transfer,died,admitted,counts,reason",
    "days": "clinic,period,split,band,days_at_risk,catheter_days",
    "ledger": "clinic,patient,started_on,last_day_on,state,days,reason",
    "estimates": "clinic,period,name,split,band,method,value,lower,upper,note",
    "signals": "clinic,rule,measure,split,band,window_start,window_end,observed,expected,"
    "statistic,limit,p,false_alarms_per_year,sentence",
}


@pytest.fixture
def computed(base_patient: Patient) -> Clinic:
    call_command("compute_measures", as_of="2025-12-31")
    return base_patient.clinic


@pytest.fixture
def two_computed(tern_quay: Clinic, saltmere: Clinic) -> None:
    make_base_patient(tern_quay)
    other = make_base_patient(saltmere)
    factories.make_spell(factories.make_patient(saltmere, "P040"), started_on=date(2025, 1, 1))
    assert other.clinic == saltmere
    call_command("compute_measures", as_of="2025-12-31")


def export(capsys: pytest.CaptureFixture[str], **options: object) -> str:
    capsys.readouterr()
    call_command("export_measures", **options)
    return capsys.readouterr().out


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("table", COLUMNS)
def test_the_columns_are_those_of_the_design(computed: Clinic, capsys, table: str) -> None:
    header, _, rest = export(capsys, table=table).partition("\n")
    assert header == COLUMNS[table]
    assert rest.startswith("TQ,")


@pytest.mark.parametrize("table", [name for name in COLUMNS if name != "signals"])
def test_the_file_is_the_stored_bytes(computed: Clinic, tmp_path: Path, table: str) -> None:
    output = tmp_path / "out.csv"
    call_command("export_measures", table=table, clinic="TQ", period="2025-Q1", output=str(output))
    assert output.read_bytes() == table_bytes(latest_snapshot(computed), table, "2025-Q1")
    assert list(tmp_path.iterdir()) == [output]


@pytest.mark.parametrize("table", COLUMNS)
def test_json_holds_the_same_rows_with_their_types(computed: Clinic, capsys, table: str) -> None:
    rows = json.loads(export(capsys, table=table, format="json"))
    plain = rows_of(export(capsys, table=table))
    assert [list(row) for row in rows] == [COLUMNS[table].split(",")] * len(plain)
    for typed, text in zip(rows, plain, strict=True):
        assert [_as_text(value) for value in typed.values()] == list(text.values())


def _as_text(value: object) -> str:
    return "" if value is None else str(value)


def test_all_clinics_stand_in_the_order_of_their_names(two_computed, capsys) -> None:
    clinics = [row["clinic"] for row in rows_of(export(capsys, table="days"))]
    assert clinics == sorted(clinics)
    assert set(clinics) == {"SM", "TQ"}


def test_the_cases_of_a_month(computed: Clinic, capsys) -> None:
    assert len(rows_of(export(capsys, table="cases", period="2025-03"))) == 1
    assert rows_of(export(capsys, table="cases", period="2025-04")) == []


def test_the_ledger_of_a_month_is_clipped_to_it(computed: Clinic, capsys) -> None:
    (row,) = rows_of(export(capsys, table="ledger", period="2025-02"))
    assert (row["started_on"], row["last_day_on"]) == ("2025-02-01", "2025-02-28")
    assert row["days"] == "28"


def test_a_period_without_rows_is_a_header(computed: Clinic, capsys) -> None:
    assert export(capsys, table="days", period="2026-Q1") == COLUMNS["days"] + "\n"
    assert json.loads(export(capsys, table="days", period="2026-Q1", format="json")) == []


def test_a_networks_measures_are_sums_with_their_own_limits(two_computed, capsys) -> None:
    network = rows_of(export(capsys, network="Estuary & Fells", period="2025-Q1"))
    assert {row["clinic"] for row in network} == {"Estuary & Fells"}
    assert "median_patient_rate" not in {row["measure"] for row in network}
    (rate,) = [row for row in network if (row["measure"], row["split"]) == ("peritonitis_rate", "")]
    # Two episodes in 90 + 180 patient-days; Garwood limits of 2 are 0.2422 and 7.2247.
    assert (rate["numerator"], rate["denominator"]) == ("2", "270")
    assert float(rate["value"]) == pytest.approx(2 * 365.25 / 270, rel=1e-12)
    assert float(rate["lower"]) == pytest.approx(0.2422092785 * 365.25 / 270, rel=1e-9)
    assert float(rate["upper"]) == pytest.approx(7.2246876715 * 365.25 / 270, rel=1e-9)
    assert (rate["target"], rate["verdict"]) == ("0.4", "misses_uncertain")


def test_a_networks_lists_are_those_of_its_clinics(two_computed, capsys) -> None:
    cases = rows_of(export(capsys, table="cases", network="Estuary & Fells"))
    assert [row["clinic"] for row in cases] == ["SM", "TQ"]


def test_signals_are_stored_whole_and_cut_by_the_end_of_their_windows(
    computed: Clinic, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = export(capsys, table="signals")
    assert whole.encode() == table_bytes(latest_snapshot(computed), "signals")
    quarter = rows_of(export(capsys, table="signals", period="2025-Q4"))
    ended = [row for row in rows_of(whole) if "2025-10-01" <= row["window_end"] <= "2025-12-31"]
    assert quarter == ended
    assert {row["rule"] for row in quarter} >= {"peritonitis_cusum", "organism_cluster", "looks"}


def test_a_networks_signals_hold_its_clinics_beside_each_other(two_computed, capsys) -> None:
    rows = rows_of(export(capsys, table="signals", network="Estuary & Fells"))
    funnel = [row for row in rows if row["rule"] == "funnel" and row["window_end"] == "2025-12-31"]
    assert [row["clinic"] for row in funnel] == ["SM", "TQ"]
    assert {row["rule"] for row in rows} >= {"peritonitis_cusum", "standardised_ratio"}
    (looks,) = [
        row for row in rows if row["clinic"] == "Estuary & Fells" and row["rule"] == "looks"
    ]
    assert looks["observed"] == "36"
    year = rows_of(export(capsys, table="signals", network="Estuary & Fells", period="2025-Q4/4q"))
    assert {row["window_end"] for row in year if row["rule"] == "funnel"} == {"2025-12-31"}


def test_a_version_stored_before_there_were_signals_has_none(two_computed, capsys) -> None:
    SnapshotTable.objects.filter(table="signals").delete()
    assert export(capsys, table="signals", clinic="TQ") == COLUMNS["signals"] + "\n"
    assert export(capsys, table="signals", clinic="TQ", period="2025-Q4").count("\n") == 1
    rows = rows_of(export(capsys, table="signals", network="Estuary & Fells"))
    assert {row["rule"] for row in rows} >= {"funnel", "looks"}


def test_a_networks_estimates_compare_its_clinics(two_computed, capsys) -> None:
    """One episode in 90 and one in 180 + days at risk: all of one modality, so 2 in all."""
    asked = {"table": "estimates", "network": "Estuary & Fells", "period": "2025-Q4/4q"}
    rows = [row for row in rows_of(export(capsys, **asked)) if row["split"] == "clinic"]
    assert {row["clinic"] for row in rows} == {"Estuary & Fells"}
    methods = ["midp_poisson"] * 2 + ["marshall", "gamma_prior"] * 2
    assert [row["method"] for row in rows] == methods
    assert [row["band"] for row in rows] == ["SM", "TQ"] + ["SM"] * 2 + ["TQ"] * 2
    shown = rows[0]
    years = {
        row["clinic"]: int(row["denominator"])
        for row in rows_of(export(capsys, period="2025-Q4/4q"))
        if (row["measure"], row["split"]) == ("peritonitis_rate", "")
    }
    expected = 2 * years["SM"] / sum(years.values())
    assert expected > 1
    assert float(shown["value"]) == pytest.approx(1 / expected)
    assert rows[1]["value"] == "" and "not shown" in rows[1]["note"]
    month = rows_of(export(capsys, **asked | {"period": "2025-07"}))
    assert [row for row in month if row["split"] == "clinic"] == []


def test_an_existing_file_is_left_alone(computed: Clinic, tmp_path: Path) -> None:
    output = tmp_path / "out.csv"
    output.write_text("mine")
    with pytest.raises(CommandError, match="exists") as error:
        call_command("export_measures", output=str(output))
    assert error.value.returncode == 1
    assert output.read_text() == "mine"


def test_a_folder_that_is_not_there_is_the_machines_fault(computed: Clinic, tmp_path: Path):
    with pytest.raises(CommandError) as error:
        call_command("export_measures", output=str(tmp_path / "none" / "out.csv"))
    assert error.value.returncode == 3


@pytest.mark.parametrize(
    ("options", "code", "sentence"),
    [
        ({"clinic": "XX"}, 2, "no such clinic"),
        ({"network": "Nowhere"}, 2, "no clinic belongs to it"),
        ({"period": "2025Q3"}, 2, "allowed: 2025-07, 2025-Q3, 2025 or 2025-Q3/4q"),
        ({"rule_set": "rule_2016"}, 1, "not computed by rule_2016: TQ"),
    ],
)
def test_a_wrong_call_says_so(computed: Clinic, options: dict, code: int, sentence: str) -> None:
    with pytest.raises(CommandError, match=sentence) as error:
        call_command("export_measures", **options)
    assert error.value.returncode == code


def test_the_export_is_in_the_audit_trail(computed: Clinic, capsys) -> None:
    export(capsys, table="cases")
    event = AuditEvent.objects.get(verb="export")
    assert event.changes["table"] == [None, "cases"]


def test_estimates_of_a_quarter_stand_in_order_and_a_month_has_none(
    computed: Clinic, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = rows_of(export(capsys, table="estimates", period="2025-Q1"))
    keys = [(row["name"], row["split"], row["band"], row["method"]) for row in rows]
    assert keys == sorted(keys)
    assert len(set(keys)) == len(keys) > 40
    assert rows_of(export(capsys, table="estimates", period="2025-01")) == []


def test_all_estimates_stand_by_the_days_of_their_period(
    computed: Clinic, capsys: pytest.CaptureFixture[str]
) -> None:
    """A year and the four quarters to its last are the same days: their rows are one run."""
    rows = rows_of(export(capsys, table="estimates"))
    same = [row["period"] for row in rows if row["period"] in ("2025", "2025-Q4/4q")]
    assert same[:2] == ["2025", "2025-Q4/4q"]
    assert len({row["period"] for row in rows}) == 8 + 2 + 5  # quarters, years, rolling years


def test_two_rule_sets_side_by_side(computed: Clinic, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("compute_measures", as_of="2025-12-31", rule_set="rule_2016")
    rows = rows_of(export(capsys, table="difference", against="rule_2016", period="2025"))
    rate = next(row for row in rows if (row["measure"], row["split"]) == ("peritonitis_rate", ""))
    assert (rate["target"], rate["target_against"]) == ("0.4", "0.5")
    assert "start_of_risk: pd_commencement (" in rate["rules"]
    every = rows_of(export(capsys, table="difference", against="rule_2016"))
    assert [row for row in every if row["period"] == "2025"] == rows
    assert rows_of(export(capsys, table="difference", against="rule_2022")) == []


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        ({"table": "difference"}, 2, "go together"),
        ({"against": "rule_2016"}, 2, "go together"),
        ({"table": "difference", "against": "rule_2016"}, 1, "not computed by rule_2016"),
    ],
)
def test_half_a_difference_is_refused(
    computed: Clinic, options: dict[str, str], code: int, says: str
) -> None:
    with pytest.raises(CommandError, match=says) as refused:
        call_command("export_measures", **options)
    assert refused.value.returncode == code


def test_records_of_different_days_are_not_compared(computed: Clinic) -> None:
    call_command("compute_measures", as_of="2025-11-30", rule_set="rule_2016")
    with pytest.raises(CommandError, match="different days") as refused:
        call_command("export_measures", table="difference", against="rule_2016")
    assert refused.value.returncode == 1
