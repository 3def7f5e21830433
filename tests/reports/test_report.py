"""Report: prepared by one person, signed by another; files that tell no outsider who it is."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from clinic.models import AuditEvent, Clinic, Person
from surveillance.models import Snapshot
from surveillance.snapshots import prepare_quarter, table_bytes
from tests.factories import PASSWORD, make_grant, make_person
from tests.reports.stored import NUMBERS, QUARTER, YEAR, draft_of, end_a_spell

SignIn = Callable[[Person], Client]
CHECKED = {f"check_{name}": "on" for name in ("episodes", "cultures", "days", "trainings")}


def prepare(client: Client, clinic: Clinic, quarter: str = QUARTER, **typed: str):
    given = CHECKED | {"password": PASSWORD} | typed
    return client.post(reverse("prepare", args=[clinic.uid, quarter]), given)


def sign(client: Client, snapshot: Snapshot, **typed: str):
    given = {"password": PASSWORD, "digest": snapshot.digest} | typed
    return client.post(reverse("sign", args=[snapshot.clinic.uid, snapshot.uid]), given)


@pytest.fixture
def prepared(draft: Snapshot, data_manager: Person) -> Snapshot:
    return prepare_quarter(clinic=draft.clinic, quarter=QUARTER, by=data_manager)


def test_a_nurse_prepares_with_checklist_and_password(draft, nurse, signed_in) -> None:
    answer = prepare(signed_in(nurse), draft.clinic)

    made = Snapshot.objects.get(state="prepared")
    assert answer.url == reverse("report_version", args=[draft.clinic.uid, made.uid])
    assert (made.through, made.prepared_by) == (QUARTER, nurse)


@pytest.mark.parametrize(
    "typed", [{"password": "wrong"}, {"password": ""}, {"check_days": ""}, {"check_cultures": ""}]
)
def test_without_password_or_a_check_nothing_is_frozen(draft, nurse, signed_in, typed) -> None:
    answer = prepare(signed_in(nurse), draft.clinic, **typed)

    assert answer.status_code == 422
    assert not Snapshot.objects.exclude(state="draft").exists()


def test_who_may_not_prepare_is_refused(draft, director, auditor, signed_in) -> None:
    assert prepare(signed_in(director), draft.clinic).status_code == 403
    assert prepare(signed_in(auditor), draft.clinic).status_code == 403


def test_the_same_figures_are_not_frozen_twice(prepared, nurse, signed_in) -> None:
    answer = prepare(signed_in(nurse), prepared.clinic)

    assert answer.status_code == 409
    assert "was prepared by Data manager Teasel" in answer.content.decode()


def test_a_quarter_still_running_cannot_be_prepared(draft, nurse, signed_in) -> None:
    answer = prepare(signed_in(nurse), draft.clinic, "2026-Q1")

    assert answer.status_code == 409
    assert "2026 Q1 ends 31 Mar 2026" in answer.content.decode()
    assert not Snapshot.objects.exclude(state="draft").exists()


def test_a_quarter_before_the_record_is_not_there_to_prepare(draft, nurse, signed_in) -> None:
    assert prepare(signed_in(nurse), draft.clinic, "1999-Q1").status_code == 404


def test_a_director_signs_what_another_prepared(prepared, director, signed_in) -> None:
    answer = sign(signed_in(director), prepared)

    prepared.refresh_from_db()
    assert answer.status_code == 302
    assert (prepared.state, prepared.version, prepared.signed_by) == ("signed", 1, director)


def test_nobody_signs_what_they_prepared(draft, director, signed_in) -> None:
    make_grant(director, "nurse", draft.clinic)
    own = prepare_quarter(clinic=draft.clinic, quarter=QUARTER, by=director)

    answer = sign(signed_in(director), own)

    assert answer.status_code == 403
    assert "You prepared this version, so another director signs it." in answer.content.decode()
    own.refresh_from_db()
    assert own.state == "prepared"


def test_a_signature_needs_the_password(prepared, director, signed_in) -> None:
    assert sign(signed_in(director), prepared, password="wrong").status_code == 422
    prepared.refresh_from_db()
    assert prepared.state == "prepared"


def test_a_version_that_is_not_the_newest_is_not_signed(
    prepared, data_manager, director, signed_in
) -> None:
    end_a_spell(prepared.clinic)
    prepare_quarter(clinic=prepared.clinic, quarter=QUARTER, by=data_manager)

    answer = sign(signed_in(director), prepared)

    assert answer.status_code == 409
    assert "Newer figures exist" in answer.content.decode()


def test_another_digest_is_not_signed(prepared, director, signed_in) -> None:
    assert sign(signed_in(director), prepared, digest="0" * 64).status_code == 409


def test_who_may_not_sign_is_refused(prepared, nurse, auditor, saltmere, signed_in) -> None:
    stranger = make_person("sedge")
    make_grant(stranger, "director", saltmere)

    assert sign(signed_in(nurse), prepared).status_code == 403
    assert sign(signed_in(auditor), prepared).status_code == 404
    assert sign(signed_in(stranger), prepared).status_code == 404


def test_a_director_returns_it_with_a_reason(prepared, director, signed_in) -> None:
    address = reverse("return", args=[prepared.clinic.uid, prepared.uid])

    short = signed_in(director).post(address, {"reason": "no"})
    said = signed_in(director).post(address, {"reason": "Two cultures are missing."})

    prepared.refresh_from_db()
    assert (short.status_code, said.status_code) == (422, 302)
    assert (prepared.state, prepared.returned_by) == ("returned", director)


def test_a_signed_quarter_is_restated_with_a_reason_only(signed, data_manager, signed_in) -> None:
    client = signed_in(data_manager)
    end_a_spell(signed.clinic)

    without = prepare(client, signed.clinic)
    why = {"reason": "A transfer of February came late.", "causes": "days"}
    given = prepare(client, signed.clinic, **why)

    assert (without.status_code, given.status_code) == (422, 302)


def test_a_restatement_is_due_then_says_what_changed(
    signed, data_manager, director, signed_in
) -> None:
    end_a_spell(signed.clinic)
    draft_of(signed.clinic)
    listed = reverse("report", args=[signed.clinic.uid])
    assert "restatement due" in signed_in(director).get(listed).content.decode()

    why = {"reason": "A transfer of February came late.", "causes": "days"}
    prepare(signed_in(data_manager), signed.clinic, **why)
    newer = Snapshot.objects.get(state="prepared")
    assert sign(signed_in(director), newer).status_code == 302

    page = reverse("report_version", args=[signed.clinic.uid, newer.uid])
    shown = signed_in(director).get(page).content.decode()
    assert "since version 1: days at risk put right." in shown
    assert "−58 days" in shown  # the spell ends on 1 Feb instead of running through 31 Mar
    assert "restatement due" not in signed_in(director).get(listed).content.decode()
    older = reverse("report_version", args=[signed.clinic.uid, signed.uid])
    assert "Superseded by" in signed_in(director).get(older).content.decode()


def test_the_version_says_how_many_episodes_the_signer_wrote(signed, director, signed_in) -> None:
    page = reverse("report_version", args=[signed.clinic.uid, signed.uid])
    shown = signed_in(director).get(page).content.decode()
    assert "The signer wrote or amended none of the quarter’s 3 episodes." in shown


def test_the_list_shows_each_quarter_with_its_state(signed, data_manager, signed_in) -> None:
    shown = signed_in(data_manager).get(reverse("report", args=[signed.clinic.uid]))

    source = shown.content.decode()
    assert "Signed, version 1" in source
    assert "Prepared by Data manager Teasel" in source
    assert "Draft, not prepared" in source


def test_an_auditor_finds_the_signed_quarter_without_names(signed, auditor, signed_in) -> None:
    source = signed_in(auditor).get(reverse("report", args=[signed.clinic.uid])).content.decode()

    assert "Signed, version 1" in source
    assert "Teasel" not in source and "Hazel" not in source
    assert "Draft" not in source


def file_of(
    client: Client, snapshot: Snapshot, what: str, period: str = YEAR, ending: str = "csv"
) -> bytes:
    address = reverse("report_file", args=[snapshot.clinic.uid, snapshot.uid, what, period, ending])
    answer = client.get(address)
    assert answer.status_code == 200, address
    return answer.content


def rows_of(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode(), newline="")))


@pytest.mark.parametrize("what", ["measures", "cases", "days", "ledger", "rate-report"])
@pytest.mark.parametrize("who", ["director", "auditor"])
def test_no_file_names_a_patient_or_a_day(request, signed, signed_in, who: str, what: str) -> None:
    person = request.getfixturevalue(who)

    content = file_of(signed_in(person), signed, what, YEAR if what != "rate-report" else QUARTER)

    text = content.decode()
    assert not [number for number in NUMBERS if number in text]
    if what in ("cases", "ledger"):
        assert "E-long-ago" not in text and "2025-01-06" not in text


def test_pseudonyms_are_stable_for_one_reader_and_differ_between_two(
    signed, director, auditor, signed_in
) -> None:
    names = [
        {row["patient"] for row in rows_of(file_of(signed_in(person), signed, "ledger", period))}
        for person, period in ((auditor, YEAR), (auditor, QUARTER), (director, YEAR))
    ]

    assert names[0] == names[1]
    assert not names[0] & names[2]
    assert len(names[0]) == len(NUMBERS)


def test_a_relapse_still_points_to_its_episode(signed, auditor, signed_in) -> None:
    rows = rows_of(file_of(signed_in(auditor), signed, "cases"))

    relapse = next(row for row in rows if row["sequence"] == "relapsing")
    index = next(row for row in rows if row["episode"] == relapse["index_episode"])
    assert (index["onset_month"], relapse["onset_month"]) == ("2025-01", "2025-02")
    assert index["patient"] == relapse["patient"]


def test_the_ledger_sums_to_the_denominator(signed, auditor, signed_in) -> None:
    client = signed_in(auditor)
    ledger = rows_of(file_of(client, signed, "ledger"))
    measures = rows_of(file_of(client, signed, "measures"))

    days = sum(int(row["days"]) for row in ledger if row["state"] == "at_risk")
    rates = [row for row in measures if row["measure"] == "peritonitis_rate"]
    assert [str(days)] == [row["denominator"] for row in rates if not row["split"]]


def test_a_signed_table_is_the_stored_bytes(signed, director, signed_in) -> None:
    content = file_of(signed_in(director), signed, "measures")

    assert content == table_bytes(signed, "measures", YEAR)


def test_an_auditor_has_no_rows_by_trainer(signed, auditor, signed_in) -> None:
    rows = rows_of(file_of(signed_in(auditor), signed, "measures"))

    assert not {row["split"] for row in rows} & {"trainer", "first_trainer"}
    assert "time_since_training" in {row["split"] for row in rows}


@pytest.mark.parametrize(
    ("period", "status"), [(QUARTER, 200), (YEAR, 200), ("2024-Q4", 404), ("2024", 404)]
)
def test_an_auditor_has_the_quarter_and_its_year(
    signed, auditor, signed_in, period: str, status: int
) -> None:
    place = [signed.clinic.uid, signed.uid, "measures", period, "csv"]

    assert signed_in(auditor).get(reverse("report_file", args=place)).status_code == status


def test_an_unsigned_file_says_so_in_its_name_and_in_every_row(draft, nurse, signed_in) -> None:
    place = [draft.clinic.uid, draft.uid, "cases", YEAR, "csv"]
    answer = signed_in(nurse).get(reverse("report_file", args=place))

    assert "-draft-" in answer["Content-Disposition"]
    assert {row["state_of_report"] for row in rows_of(answer.content)} == {"draft, not signed"}


def test_an_auditor_has_no_file_of_a_draft(draft, auditor, signed_in) -> None:
    place = [draft.clinic.uid, draft.uid, "measures", QUARTER, "csv"]

    assert signed_in(auditor).get(reverse("report_file", args=place)).status_code == 404


def test_the_whole_report_as_json(signed, auditor, signed_in) -> None:
    document = json.loads(file_of(signed_in(auditor), signed, "rate-report", QUARTER, "json"))

    assert (document["state"], document["version"]) == ("signed", 1)
    tables = {name: rows for part in document["parts"] for name, rows in part["tables"].items()}
    assert len(document["parts"]) == 13
    assert {row["period"] for row in tables["ledger"]} == {"2025-Q1", "2025-Q1/4q"}


def test_the_same_file_twice_is_the_same_bytes_and_two_events(signed, auditor, signed_in) -> None:
    client = signed_in(auditor)
    contents = {file_of(client, signed, "rate-report", QUARTER, "json") for _ in range(2)}

    events = AuditEvent.objects.filter(verb="download", by=auditor)
    assert len(contents) == 1
    assert [event.changes["how"] for event in events] == ["pseudonyms", "pseudonyms"]


def export(client: Client, clinic: Clinic, ending: str = "csv", **query: str):
    return client.get(reverse(f"measures_{ending}", args=[clinic.uid]), query)


def test_the_export_is_the_canonical_bytes(draft, nurse, signed_in) -> None:
    client = signed_in(nurse)

    assert export(client, draft.clinic, period=YEAR).content == table_bytes(draft, "measures", YEAR)
    assert export(client, draft.clinic).content == table_bytes(draft, "measures")
    rows = json.loads(export(client, draft.clinic, "json", period=QUARTER).content)
    assert {row["period"] for row in rows} == {QUARTER}


@pytest.mark.parametrize("period", ["2030-Q1", "nonsense", "2025-Q1/9q", ""])
def test_a_period_outside_is_answered_like_nonsense(draft, nurse, signed_in, period: str) -> None:
    answer = export(signed_in(nurse), draft.clinic, period=period)

    assert answer.status_code == 400
    assert "not one of yours" in answer.content.decode()


@pytest.mark.parametrize("asked", ["?clinic=SM", "?nonsense=1", f"?period={QUARTER}&period=2025"])
def test_what_the_export_does_not_know_is_refused_not_passed_over(
    draft, nurse, signed_in, asked: str
) -> None:
    address = reverse("measures_csv", args=[draft.clinic.uid])
    answer = signed_in(nurse).get(address + asked)

    assert answer.status_code == 400
    assert "not one of yours" in answer.content.decode()


# bad_inputs.csv S17
def test_an_auditor_exports_only_what_was_granted(signed, saltmere, auditor, signed_in) -> None:
    client = signed_in(auditor)

    assert export(client, signed.clinic, period=QUARTER).status_code == 200
    assert export(client, signed.clinic, period="2024").status_code == 400
    assert export(client, signed.clinic).status_code == 400
    assert export(client, saltmere, period=QUARTER).status_code == 404


def command(tmp_path: Path, ending: str, **options: str) -> Path:
    path = tmp_path / f"report.{ending}"
    given = {"clinic": "TQ", "period": QUARTER, "format": ending, "output": str(path)} | options
    call_command("rate_report", **given)
    return path


@pytest.mark.parametrize("ending", ["csv", "json"])
def test_the_command_writes_pseudonyms_and_refuses_to_overwrite(
    signed, tmp_path: Path, ending: str
) -> None:
    written = command(tmp_path, ending).read_text(encoding="utf-8")

    assert not [number for number in NUMBERS if number in written]
    with pytest.raises(CommandError, match="exists already"):
        command(tmp_path, ending)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"clinic": "XX"}, "no such clinic"),
        ({"period": "2025-Q9"}, "write 2025-Q4"),
        ({"period": "2031-Q1"}, "compute_measures"),
        ({"output": "/nowhere/at/all.csv"}, "No such file"),
    ],
)
def test_the_command_says_what_is_wrong_with_the_call(
    signed, tmp_path: Path, options: dict[str, str], said: str
) -> None:
    with pytest.raises(CommandError, match=said):
        command(tmp_path, "csv", **options)


def test_a_reason_too_long_is_said_in_our_words(prepared, director, signed_in) -> None:
    address = reverse("return", args=[prepared.clinic.uid, prepared.uid])
    answer = signed_in(director).post(address, {"reason": "a" * 401})

    assert answer.status_code == 422
    assert "At most 400 characters, this has 401." in answer.content.decode()
