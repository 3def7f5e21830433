"""Watch at a clinic with a cluster: what stands out, what is quiet, who sees what, the work."""

import csv
import io
from datetime import date

import pytest

from clinic.models import AuditEvent, Clinic, Peritonitis, SignalEntry, SignalWork
from surveillance.calibrated import calibrated
from surveillance.models import Snapshot
from surveillance.snapshots import table_rows
from tests.factories import make_grant, make_patient, make_person, make_spell, make_training
from tests.reports.stored import draft_of, fill, grown, signed_by

PLACE = "Seaside room"


@pytest.fixture
def cluster(tern_quay: Clinic) -> Snapshot:
    """Three patients with Pseudomonas in six weeks, none before."""
    fill(tern_quay)
    for number, day in (("W1", 5), ("W2", 20), ("W3", 31)):
        patient = make_patient(tern_quay, number)
        make_spell(patient, started_on=date(2023, 1, 1))
        make_training(patient, completed_on=date(2024, 5, 1), trainer="T-07")
        grown(patient, date(2025, 7, day), "Pseudomonas aeruginosa", episode=f"{number}-1",
              exchange_place=PLACE)  # fmt: skip
    return draft_of(tern_quay)


def _watch(clinic: Clinic, more: str = "") -> str:
    return f"/clinic/{clinic.uid}/watch/{more}"


def _signal(client, clinic: Clinic):
    return client.get(_watch(clinic)).context["open"][0]


def test_without_figures_it_says_so(tern_quay, nurse, signed_in):
    assert "Nothing is computed yet." in signed_in(nurse).get(_watch(tern_quay)).content.decode()


def test_a_clinic_without_alarms_says_what_was_looked_at(draft, nurse, signed_in):
    page = signed_in(nurse).get(_watch(draft.clinic)).content.decode()
    assert "Nothing stands out of chance, and nothing is open." in page
    assert "18 lines are quiet" in page and "18 lines are watched here" in page


def test_the_cluster_stands_open_with_its_sentence_and_frequency(cluster, nurse, signed_in):
    client = signed_in(nurse)
    page = client.get(_watch(cluster.clinic)).content.decode()
    stored = [row for row in table_rows(cluster, "signals") if row["band"] == "water"
              and row["window_end"] == "2025-07-31"]  # fmt: skip
    assert "One signal is open; nobody has looked at it yet." in page
    assert stored[0]["sentence"] in page
    assert "Nobody has looked yet" in page and "Also: Cluster: 3 patients with Pseudomonas" in page


def test_the_pictures_hold_the_stored_numbers(cluster, nurse, signed_in):
    client = signed_in(nurse)
    weeks = [row for row in table_rows(cluster, "signals") if row["rule"] == "peritonitis_cusum"]
    answer = client.get(_watch(cluster.clinic, "cusum.csv"))
    rows = list(csv.DictReader(io.StringIO(answer.content.decode())))
    assert [float(row["Sum"]) for row in rows] == [row["statistic"] for row in weeks][-len(rows) :]
    lanes = client.get(_watch(cluster.clinic, "lanes.csv")).content.decode()
    assert "Pseudomonas,3,5 Jul 2025; 20 Jul 2025; 31 Jul 2025" in lanes
    assert client.get(_watch(cluster.clinic, "other.csv")).status_code == 404


def test_a_signal_opens_its_cases_what_they_share_and_the_year_before(
    cluster, director, signed_in
):  # fmt: skip
    client = signed_in(director)
    address = _signal(client, cluster.clinic).address
    page = client.get(address).content.decode()
    assert "Onsets from 5 Jul 2025 to 31 Jul 2025, 26 days." in page
    for said in (f"all: {PLACE}", "all: Pseudomonas aeruginosa", "all: T-07"):
        assert said in page
    episode = Peritonitis.objects.get(episode="W2-1")
    assert f"/episodes/{episode.uid}/" in page
    assert "None in the twelve months before." in page
    read = AuditEvent.objects.filter(verb="read", thing="snapshot").latest("number")
    assert len(read.changes["patients"]) == 3
    rows = client.get(f"{address}cases.csv").content.decode()
    assert rows.count("counted_new") == 3 and "W2" not in rows


def test_seen_looked_into_step_by_step_and_closed(cluster, nurse, signed_in):
    client = signed_in(nurse)
    address = _signal(client, cluster.clinic).address
    assert client.post(f"{address}seen/").status_code == 302
    assert _signal(client, cluster.clinic).signal.state_text == "seen"
    client.post(f"{address}investigate/")
    sent = {"owner": str(nurse.uid), "due_on": "2026-02-01", "done_on": "", "says": ""}
    assert client.post(f"{address}step/sample_environment/", sent).status_code == 302
    page = client.get(address).content.decode()
    assert "due 1 Feb 2026" in page and "Being looked into." in page
    done = sent | {"done_on": "2026-01-19", "says": "Water of the bath grew it."}
    client.post(f"{address}step/sample_environment/", done)
    assert "19 Jan 2026" in client.get(address).content.decode()
    refused = client.post(f"{address}close/", {"conclusion": "common_cause", "says": "As for W2."})
    assert refused.status_code == 422 and "W2 is a patient" in refused.content.decode()
    client.post(f"{address}close/", {"conclusion": "common_cause", "says": "The water bath."})
    page = client.get(_watch(cluster.clinic)).content.decode()
    assert "nothing is open" in page and "Closed: a common cause was found" in page
    verbs = [event.verb for event in AuditEvent.objects.filter(thing="signal")]
    assert verbs == ["signal seen", "signal investigate", "signal step", "signal step",
                     "signal close"]  # fmt: skip
    again = client.post(f"{address}note/", {"says": "One thing more."})
    assert "closed meanwhile" in again.content.decode()
    assert SignalEntry.objects.count() == 5


def test_it_stays_open_when_the_figures_change(cluster, nurse, signed_in):
    client = signed_in(nurse)
    client.post(f"{_signal(client, cluster.clinic).address}seen/")
    Peritonitis.objects.filter(episode="W3-1").update(onset_on=date(2025, 5, 1))
    draft_of(cluster.clinic)
    line = _signal(client, cluster.clinic)
    assert line.is_gone and line.signal.state == "seen"
    page = client.get(line.address).content.decode()
    assert "no longer show it" in page


def test_taking_up_twice_is_one_work(cluster, nurse, signed_in):
    client = signed_in(nurse)
    address = _signal(client, cluster.clinic).address
    for _ in range(2):
        client.post(f"{address}seen/")
    assert SignalWork.objects.count() == 1 and SignalEntry.objects.count() == 1


def test_a_data_manager_reads_and_may_not_work(cluster, data_manager, signed_in):
    client = signed_in(data_manager)
    line = _signal(client, cluster.clinic)
    page = client.get(line.address).content.decode()
    assert PLACE in page and "Look into it" not in page
    assert client.post(f"{line.address}seen/").status_code == 403


def test_an_auditor_sees_the_granted_year_and_no_episode(
    cluster, auditor, data_manager, director, signed_in
):  # fmt: skip
    signed_by(cluster.clinic, data_manager, director)
    client = signed_in(auditor)
    answer = client.get(_watch(cluster.clinic))
    assert answer.context["snapshot"].through == "2025-Q1" and not answer.context["open"]
    assert all(row["window_end"] <= "2025-03-31" for row in answer.context["watched"].rows)
    assert answer.context["charts"] == []


def test_a_network_officer_sees_that_it_stands_and_a_hidden_count(cluster, signed_in):
    officer = make_person("sage", name="Network officer Sage")
    make_grant(officer, "network_officer", network="Estuary & Fells")
    client = signed_in(officer)
    answer = client.get(_watch(cluster.clinic))
    page = answer.content.decode()
    assert "Water organisms" in page and "1–4 patients. Ask the clinic." in page
    assert "3 patients" not in page and "quiet" not in page
    assert client.get(answer.context["open"][0].address).status_code == 404


def test_another_clinics_signal_is_like_none(cluster, saltmere, nurse, signed_in):
    client = signed_in(nurse)
    address = _signal(client, cluster.clinic).address
    other = address.replace(str(cluster.clinic.uid), str(saltmere.uid))
    assert client.get(other).status_code == 404
    assert client.get(f"{address[:-11]}2020-01-01/").status_code == 404


def test_each_signal_has_a_help_page(cluster, nurse, signed_in):
    client = signed_in(nurse)
    page = client.get(_watch(cluster.clinic, "peritonitis_cusum/")).content.decode()
    assert "Above its limit it is an alarm" in page
    assert client.get(_watch(cluster.clinic, "no_such_rule/")).status_code == 404


def test_today_tells_of_it_until_somebody_says_that_it_is_seen(cluster, nurse, signed_in):
    client, today = signed_in(nurse), f"/clinic/{cluster.clinic.uid}/today/"
    page = client.get(today).content.decode()
    line = _signal(client, cluster.clinic)
    assert "one signal that nobody has looked at" in page.lower()
    assert f'href="{line.address}"' in page
    client.post(f"{line.address}seen/")
    assert "nobody has looked" not in client.get(today).content.decode()


def test_an_alarm_of_the_sum_opens_its_signal(tern_quay, nurse, signed_in):
    """Fifteen first episodes in two months of a clinic of twelve: no luck does that."""
    fill(tern_quay)
    for number in range(15):
        patient = make_patient(tern_quay, f"B{number:02d}")
        make_spell(patient, started_on=date(2023, 1, 1))
        grown(
            patient, date(2025, 5, 1 + number), "Staphylococcus epidermidis", episode=f"B{number}"
        )
    draft_of(tern_quay)
    client = signed_in(nurse)
    answer = client.get(_watch(tern_quay))
    (line,) = [one for one in answer.context["open"] if one.signal.rule == "peritonitis_cusum"]
    chart = answer.context["charts"][0]
    assert chart.name == "cusum" and f'href="{line.address}"' in chart.svg
    assert "Peritonitis came faster than it should" in client.get(line.address).content.decode()


@pytest.mark.parametrize("rule", ["peritonitis_cusum", "organism_cluster"])
def test_each_help_page_says_what_the_signal_is_worth(rule, cluster, nurse, signed_in):
    """Source: fixtures/signals/calibration.csv, a line for each of four sizes."""
    page = signed_in(nurse).get(_watch(cluster.clinic, f"{rule}/"))
    assert [one.patients for one in page.context["worths"]] == [15, 30, 60, 200]
    line = next(one for one in calibrated(rule) if (one.patients, one.rate_ratio) == (200, 2.0))
    assert f"{line.median_months:.1f} months" in page.content.decode()
