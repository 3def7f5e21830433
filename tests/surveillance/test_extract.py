"""Standing rows become plain tables: encodings, links, local days, withdrawn rows left out."""

from datetime import UTC, date, datetime

import numpy as np
import pytest

from clinic.models import Clinic, Patient
from surveillance.extract import read_patient, read_record
from surveillance.sql_encodings import NO_DAY as SQL_NO_DAY
from surveillance.sql_encodings import NO_MOMENT as SQL_NO_MOMENT
from surveillance.tables import NO_DAY, NO_LINK, NO_MOMENT, RECORD_TABLES
from tests import factories

WITHDRAWN = {"withdrawn_at": datetime(2026, 1, 2, tzinfo=UTC), "withdrawn_reason": "wrong patient"}


def day_number(day: date) -> int:
    return (day - date(1970, 1, 1)).days


@pytest.fixture
def patient(tern_quay: Clinic) -> Patient:
    return factories.make_patient(tern_quay, died_on=date(2025, 12, 24))


def test_the_missing_markers_are_those_of_the_tables() -> None:
    assert (int(SQL_NO_DAY), int(SQL_NO_MOMENT)) == (NO_DAY, NO_MOMENT)


def test_an_empty_record_has_every_table_with_its_columns(tern_quay: Clinic) -> None:
    record = read_record([tern_quay])
    for name, columns in RECORD_TABLES.items():
        assert list(getattr(record, name).columns) == [column.name for column in columns]
    assert list(record.clinics["clinic"]) == ["TQ"]


def test_days_and_unknown_days(patient: Patient) -> None:
    factories.make_spell(patient, started_on=date(1969, 12, 31), last_day_on=None)
    spells = read_record([patient.clinic]).pd_spells
    assert list(spells["started_on"]) == [-1]
    assert list(spells["last_day_on"]) == [NO_DAY]
    assert read_record([patient.clinic]).patients["died_on"][0] == day_number(date(2025, 12, 24))


def test_unknown_and_never_asked_are_not_no(patient: Patient) -> None:
    for number, answer in enumerate(["yes", "no", "unknown", ""]):
        factories.make_peritonitis(patient, episode=f"E{number}", cloudy_effluent=answer)
    assert list(read_record([patient.clinic]).peritonitis["cloudy_effluent"]) == [1, 0, -1, -1]


def test_an_empty_choice_is_missing(patient: Patient) -> None:
    factories.make_training(patient, trainer="")
    factories.make_training(patient, kind="scheduled", trainer="T-02")
    assert list(read_record([patient.clinic]).trainings["trainer"].isna()) == [True, False]


@pytest.mark.parametrize(
    ("zone", "moment", "local_day"),
    [
        # bad_inputs D13: half past eleven at night UTC is the next day in British summer.
        ("Europe/London", datetime(2025, 3, 31, 23, 30, tzinfo=UTC), date(2025, 4, 1)),
        ("Europe/London", datetime(2025, 1, 31, 23, 30, tzinfo=UTC), date(2025, 1, 31)),
        ("Pacific/Auckland", datetime(2025, 1, 31, 11, 0, tzinfo=UTC), date(2025, 2, 1)),
        ("America/Bogota", datetime(1969, 12, 31, 4, 59, 59, tzinfo=UTC), date(1969, 12, 30)),
    ],
)
def test_a_moment_falls_on_its_clinics_own_day(
    db, zone: str, moment: datetime, local_day: date
) -> None:
    patient = factories.make_patient(factories.make_clinic(time_zone=zone))
    episode = factories.make_peritonitis(patient, onset_on=None, presented_at=moment)
    factories.make_sample(episode, collected_at=moment)
    record = read_record([patient.clinic])
    assert record.peritonitis["presented_on"][0] == day_number(local_day)
    assert record.effluent_samples["collected_on"][0] == day_number(local_day)
    assert record.effluent_samples["collected_at"][0] == int(moment.timestamp())


def test_a_moment_that_is_not_known(patient: Patient) -> None:
    factories.make_sample(factories.make_peritonitis(patient))
    samples = read_record([patient.clinic]).effluent_samples
    assert (samples["collected_at"][0], samples["collected_on"][0]) == (NO_MOMENT, NO_DAY)


def test_numbers_that_are_not_known(patient: Patient) -> None:
    factories.make_sample(factories.make_peritonitis(patient), leucocytes_per_ul=None)
    assert np.isnan(read_record([patient.clinic]).effluent_samples["leucocytes_per_ul"][0])


def test_clinics_and_patients_stand_in_code_point_order(tern_quay: Clinic, saltmere: Clinic):
    for clinic, number in [(tern_quay, "a"), (tern_quay, "B"), (tern_quay, "É"), (saltmere, "z")]:
        factories.make_patient(clinic, number)
    record = read_record([tern_quay, saltmere])
    assert list(record.clinics["clinic"]) == ["SM", "TQ"]
    assert list(record.patients["patient"]) == ["z", "B", "a", "É"]
    assert list(record.patients["clinic"]) == [0, 1, 1, 1]


def test_links_lead_to_the_parents_row(tern_quay: Clinic) -> None:
    later, earlier = (factories.make_patient(tern_quay, number) for number in ("P2", "P1"))
    factories.make_peritonitis(later, episode="A")
    episode = factories.make_peritonitis(earlier, episode="B")
    factories.make_isolate(factories.make_sample(episode))
    factories.make_admission(earlier, peritonitis=episode)
    factories.make_admission(later)
    record = read_record([tern_quay])
    assert list(record.peritonitis["patient"]) == [1, 0]
    assert list(record.effluent_samples["episode"]) == [1]
    assert list(record.isolates["sample"]) == [0]
    assert list(record.admissions["episode"]) == [1, NO_LINK]


def test_withdrawn_rows_and_what_hangs_on_them_are_left_out(patient: Patient) -> None:
    gone = factories.make_peritonitis(patient, episode="E0", **WITHDRAWN)
    factories.make_isolate(factories.make_sample(gone))
    factories.make_admission(patient, peritonitis=gone)
    stays = factories.make_peritonitis(patient)
    factories.make_isolate(factories.make_sample(stays, sample="S0", **WITHDRAWN))
    factories.make_spell(factories.make_patient(patient.clinic, "P9", **WITHDRAWN))
    record = read_record([patient.clinic])
    assert list(record.patients["patient"]) == ["P031"]
    assert list(record.peritonitis["episode"]) == ["E1"]
    assert (len(record.effluent_samples), len(record.isolates), len(record.pd_spells)) == (0, 0, 0)
    assert list(record.admissions["episode"]) == [NO_LINK]


def test_one_patient_alone(patient: Patient) -> None:
    factories.make_spell(patient)
    other = factories.make_patient(patient.clinic, "P002")
    factories.make_spell(other)
    record = read_patient(patient)
    assert list(record.patients["patient"]) == ["P031"]
    assert list(record.pd_spells["patient"]) == [0]


def test_a_contamination_falls_on_its_local_day(patient: Patient) -> None:
    factories.make_contamination(patient, happened_at=datetime(2025, 6, 1, 9, 0, tzinfo=UTC))
    contaminations = read_record([patient.clinic]).contaminations
    assert list(contaminations["happened_on"]) == [day_number(date(2025, 6, 1))]
    assert list(contaminations["prophylaxis"]) == [-1]


def test_the_day_of_entry_is_the_day_the_row_was_stored(patient: Patient) -> None:
    episode = factories.make_peritonitis(patient)
    stored = episode.recorded_at or type(episode).objects.get(pk=episode.pk).recorded_at
    local = stored.astimezone(patient.clinic.zone).date()
    assert list(read_record([patient.clinic]).peritonitis["recorded_on"]) == [day_number(local)]
