"""Drafts: the same work gives the same bytes, newer ones replace older ones, nothing half."""

from datetime import date, timedelta

import pytest

from clinic.actions.audit import data_version, host_actor, write_event
from clinic.models import Clinic, Patient
from surveillance.models import Snapshot, SnapshotTable
from surveillance.snapshots import compute_draft, latest_snapshot, periods, table_bytes, table_rows
from surveillance.snapshots.read import Damaged, NoSuchTable
from surveillance.snapshots.store import DRAFTS_KEPT
from tests import factories

AS_OF = date(2025, 12, 31)


@pytest.fixture
def draft(base_patient: Patient) -> Snapshot:
    return compute(base_patient.clinic)


def compute(clinic: Clinic, as_of: date = AS_OF, **more: str) -> Snapshot:
    return compute_draft(clinic=clinic, rule_set="rule_2022", as_of=as_of, **more)


def stored_bytes(snapshot: Snapshot) -> dict[tuple[str, str], bytes]:
    rows = snapshot.tables.values_list("table", "period", "content")
    return {(table, period): bytes(content) for table, period, content in rows}


def test_a_draft_says_what_it_was_computed_from(draft: Snapshot) -> None:
    assert (draft.state, draft.as_of, draft.through) == ("draft", AS_OF, "")
    assert draft.data_version == data_version(draft.clinic)


def test_every_table_is_there_for_a_quarter(draft: Snapshot) -> None:
    kept = set(draft.tables.filter(period="2025-Q1").values_list("table", flat=True))
    assert kept >= {"measures", "cases", "days", "ledger"}


def test_a_month_has_measures_and_days_alone(draft: Snapshot) -> None:
    kept = set(draft.tables.filter(period="2025-03").values_list("table", flat=True))
    assert kept == {"measures", "days"}


def test_computing_again_changes_nothing(draft: Snapshot) -> None:
    assert compute(draft.clinic).pk == draft.pk
    assert Snapshot.objects.count() == 1


def test_the_same_figures_keep_their_address_when_they_become_the_latest(draft: Snapshot) -> None:
    before = stored_bytes(draft)
    compute(draft.clinic, date(2025, 6, 30))
    again = compute(draft.clinic)
    assert stored_bytes(again) == before
    assert (again.uid, again.digest) == (draft.uid, draft.digest)


def test_another_record_gives_another_digest_and_address(draft: Snapshot) -> None:
    factories.make_spell(factories.make_patient(draft.clinic, "P032"))
    again = compute(draft.clinic)
    assert again.uid != draft.uid
    assert again.digest != draft.digest


def test_the_newest_computation_is_the_latest_whatever_its_day(draft: Snapshot) -> None:
    compute(draft.clinic, date(2025, 6, 30))
    assert latest_snapshot(draft.clinic).as_of == date(2025, 6, 30)
    compute(draft.clinic)
    assert latest_snapshot(draft.clinic).as_of == AS_OF


def test_the_last_few_drafts_are_kept(draft: Snapshot) -> None:
    for back in range(1, DRAFTS_KEPT + 2):
        compute(draft.clinic, AS_OF - timedelta(days=back))
    assert Snapshot.objects.count() == DRAFTS_KEPT
    assert not Snapshot.objects.filter(pk=draft.pk).exists()


def test_other_rule_sets_and_last_periods_are_other_drafts(draft: Snapshot) -> None:
    compute(draft.clinic, through="2025-Q1")
    compute_draft(clinic=draft.clinic, rule_set="rule_2016", as_of=AS_OF)
    assert Snapshot.objects.count() == 3


def test_a_clinic_with_nothing_dated_has_tables_without_rows(tern_quay: Clinic) -> None:
    draft = compute(tern_quay)
    assert periods(draft) == []
    assert table_rows(draft, "cases") == []
    assert table_rows(draft, "measures") == []


def test_periods_stand_in_the_order_of_the_tables(draft: Snapshot) -> None:
    found = periods(draft)
    assert found[:4] == ["2024-01", "2024-Q1", "2024", "2024-Q4/4q"]
    assert found[-1] == "2025-12"


def test_the_whole_table_is_the_sum_of_its_periods_in_canonical_order(draft: Snapshot) -> None:
    rows = table_rows(draft, "measures")
    keys = [
        (row["period_start"], row["period_end"], row["measure"], row["split"] or "",
         row["band"] or "", row["period"])
        for row in rows
    ]  # fmt: skip
    assert keys == sorted(keys)
    assert len(rows) == sum(draft.tables.filter(table="measures").values_list("rows", flat=True))


def test_rows_are_typed(draft: Snapshot) -> None:
    (row,) = [
        row for row in table_rows(draft, "measures", "2025-Q1")
        if (row["measure"], row["split"]) == ("peritonitis_rate", None)
    ]  # fmt: skip
    assert (row["numerator"], row["denominator"], row["target"]) == (1, 90, 0.4)
    assert row["value"] == pytest.approx(365.25 / 90, rel=1e-12)


def test_the_cases_of_a_period_are_those_with_their_onset_in_it(draft: Snapshot) -> None:
    assert [row["episode"] for row in table_rows(draft, "cases", "2025-Q1")] == ["E1"]
    assert table_rows(draft, "cases", "2025-Q2") == []
    assert [row["episode"] for row in table_rows(draft, "cases")] == ["E1"]


def test_the_ledger_of_a_period_is_clipped_to_it(draft: Snapshot) -> None:
    (row,) = table_rows(draft, "ledger", "2025-Q1")
    assert (row["started_on"], row["last_day_on"], row["days"]) == ("2025-01-01", "2025-03-31", 90)


@pytest.mark.parametrize("period", ["2025-Q1", "2025-Q1/4q", "2025"])
def test_the_ledger_sums_to_the_days_table(draft: Snapshot, period: str) -> None:
    ledger = table_rows(draft, "ledger", period)
    days = [row for row in table_rows(draft, "days", period) if row["split"] is None]
    at_risk = sum(row["days"] for row in ledger if row["state"] == "at_risk")
    assert [row["days_at_risk"] for row in days] == [at_risk]


def test_a_table_that_is_not_there_is_no_empty_table(draft: Snapshot) -> None:
    with pytest.raises(NoSuchTable):
        table_bytes(draft, "cases", "2026-Q1")


def test_damaged_bytes_are_not_shown(draft: Snapshot) -> None:
    stored = draft.tables.get(table="cases", period="")
    stored.pk, stored.period = None, "2030"
    stored.sha256 = "0" * 64
    stored.save()
    with pytest.raises(Damaged):
        table_bytes(draft, "cases", "2030")


def test_a_failure_before_the_end_leaves_the_earlier_draft(draft: Snapshot) -> None:
    write_event(clinic=draft.clinic, by=host_actor(), verb="amend", thing="patients")

    def fail() -> None:
        raise RuntimeError

    with pytest.raises(RuntimeError):
        compute_draft(clinic=draft.clinic, rule_set="rule_2022", as_of=AS_OF, before_commit=fail)
    assert latest_snapshot(draft.clinic) == draft
    assert SnapshotTable.objects.filter(snapshot=draft).count() == draft.tables.count()
