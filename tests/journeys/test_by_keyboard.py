"""The nurse's journeys by keyboard alone with scripts off, on a telephone and on a wide screen."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from tests.journeys.keyboard import Keyboard, at_keyboard
from tests.journeys.service import Service

WIDTHS = [1440, 390]


@pytest.fixture(scope="module")
def bramble(service: Service, browser: Browser) -> dict[int, Keyboard]:
    return {width: at_keyboard(browser, service, "bramble", width) for width in WIDTHS}


@pytest.fixture(params=WIDTHS)
def nurse(bramble: dict[int, Keyboard], request: pytest.FixtureRequest) -> Keyboard:
    nurse = bramble[request.param]
    nurse.unringed.clear()
    return nurse


def newcomer(person: Keyboard, number: str, reason: str = "") -> str:
    """A new patient on PD since last summer, whose page stands open; the record number."""
    width = person.page.viewport_size["width"] if person.page.viewport_size else 0
    person.open(f"{person.clinic}/patients/new/")
    person.type("number", number := f"{number}-{width}")
    person.day("birth_date", "1958-04-02")
    person.choose("sex", "male")
    person.press("Save the patient")
    person.follow("PD spell")
    person.day("started_on", "2025-07-01")
    person.choose("modality", "apd")
    if reason:
        person.type("reason", reason)
    person.press("Save the PD spell")
    return number


def test_from_the_call_to_the_counted_episode(nurse: Keyboard) -> None:
    number = newcomer(nurse, "K1")
    home = nurse.page.url
    nurse.open(f"{nurse.clinic}/call/")
    nurse.type("number", number)
    nurse.press("Find")
    nurse.follow("Take the call")
    for flag in ("severe_pain", "shivering", "faint", "vomiting", "sugar_out_of_hand"):
        nurse.choose(flag, "no")
    nurse.press("Go on to the questions")
    nurse.choose("episode-cloudy_effluent", "yes")
    nurse.moment("call-first_cloudy_at", "2026-01-10T07:30")
    nurse.choose("episode-abdominal_pain", "yes")
    nurse.tick("call-happened", "touched")
    nurse.press("Save and end the call")
    assert "Cloudy bag" in nurse.text and number in nurse.text

    nurse.open(home)
    nurse.follow("Open")
    episode = nurse.page.url
    assert nurse.title.startswith("Suspected peritonitis")
    nurse.follow("Add a sample")
    nurse.moment("collected_at", "2026-01-10T10:15")
    nurse.choose("antibiotics_before", "no")
    nurse.type("dwell_hours", "4")
    nurse.type("leucocytes_per_ul", "2300")
    nurse.type("neutrophil_percent", "88")
    nurse.choose("culture", "grown")
    nurse.press("Save the effluent sample")
    nurse.follow("Add an organism")
    nurse.type("organism", "Staphylococcus aureus")
    nurse.press("Save the isolate")
    nurse.follow("Amend the episode")
    nurse.moment("presented_at", "2026-01-10T09:40")
    nurse.moment("first_antibiotic_at", "2026-01-10T11:05")
    nurse.press("Save the change")

    nurse.open(f"{nurse.clinic}/today/")
    assert "Day-5 cell count and appearance not entered" in nurse.text
    nurse.open(episode)
    nurse.follow("Add a sample")
    nurse.moment("collected_at", "2026-01-15T09:00")
    nurse.choose("appearance", "clear")
    nurse.type("leucocytes_per_ul", "40")
    nurse.choose("culture", "not_taken")
    nurse.press("Save the effluent sample")
    nurse.follow("Last dose and outcome")
    nurse.day("therapy_completed_on", "2026-01-19")
    nurse.choose("resolved", "yes")
    nurse.press("Save the change")
    assert nurse.title == "Confirmed peritonitis, new. Counted."
    assert "The patient was at risk on the day of onset." in nurse.text
    assert nurse.unringed == []


def test_from_the_exit_site_check_to_the_infection(nurse: Keyboard) -> None:
    newcomer(nurse, "K2")
    nurse.follow("Exit-site check")
    nurse.day("checked_on", "2026-01-19")
    nurse.choose("purulent_discharge", "yes")
    nurse.choose("redness", "2")
    nurse.press("Save the exit-site check")
    nurse.press("Save the exit-site or tunnel infection")
    assert nurse.title == "Confirmed exit-site infection, new. Counted."
    assert nurse.unringed == []


def test_from_the_training_to_its_sign_off(nurse: Keyboard) -> None:
    newcomer(nurse, "K3")
    nurse.follow("Training")
    nurse.choose("kind", "initial")
    nurse.day("started_on", "2026-01-12")
    nurse.day("completed_on", "2026-01-16")
    nurse.type("hours", "15")
    nurse.press("Save the training")
    nurse.follow("Technique observation")
    nurse.day("observed_on", "2026-01-16")
    nurse.type("observer", "T-01")
    for item in ("surface_clean", "supplies_gathered", "hands_cleaned", "mask_worn", "bag_checked",
                 "bag_warmed_dry", "clamps_closed", "caps_untouched", "connected_untouched",
                 "flushed_before_fill", "drained_fully", "fluid_inspected", "filled", "new_cap",
                 "line_secured", "recorded"):  # fmt: skip
        nurse.choose(item, "done")
    nurse.press("Save the technique observation")
    assert "No critical error: ready to be signed off." in nurse.text
    nurse.follow("Sign the training off")
    nurse.choose("competent", "yes")
    nurse.press("Save the change")
    assert "Sign the training off" not in nurse.text
    assert nurse.unringed == []


def test_two_amend_one_episode_and_both_are_in(
    nurse: Keyboard, service: Service, browser: Browser
) -> None:
    newcomer(nurse, "K4")
    nurse.follow("Record an episode")
    nurse.day("episode-onset_on", "2025-12-01")
    nurse.choose("episode-cloudy_effluent", "yes")
    nurse.press("Save the episode")
    episode = nurse.page.url
    width = nurse.page.viewport_size["width"] if nurse.page.viewport_size else 1440
    other = at_keyboard(browser, service, "teasel", width)
    for person in (nurse, other):
        person.open(episode)
        person.follow("Amend the episode")
    nurse.choose("resolved", "yes")
    nurse.press("Save the change")
    other.day("therapy_completed_on", "2025-12-20")
    other.type("reason", "From the discharge letter.")
    other.press("Save the change")
    assert other.title == "Nurse Bramble changed this while you were writing."
    assert other.page.input_value("[name=therapy_completed_on]") == "2025-12-20"
    other.press("Save the change")
    nurse.open(episode)
    assert "Data manager Teasel amended: Last dose on: nothing → 2025-12-20" in nurse.text
    assert "Nurse Bramble amended: Resolved: nothing → yes" in nurse.text
    assert nurse.unringed + other.unringed == []


# bad_inputs.csv L08
def test_a_patient_moves_away_and_is_new_elsewhere(
    service: Service, browser: Browser, nurse: Keyboard
) -> None:
    newcomer(nurse, "K5")
    home = nurse.page.url
    nurse.follow("Amend")
    nurse.day("last_day_on", "2025-10-31")
    nurse.choose("end_reason", "moved")
    nurse.press("Save the change")
    assert "Moved to another clinic" in nurse.text and "123 days at risk so far." in nurse.text
    width = nurse.page.viewport_size["width"] if nurse.page.viewport_size else 1440
    there = at_keyboard(browser, service, "teasel", width)
    there.follow("Open Today of Saltmere")
    newcomer(there, "K5", reason="Moved here from another clinic.")
    there.follow("Record an episode")
    there.day("episode-onset_on", "2025-11-20")
    there.choose("episode-cloudy_effluent", "yes")
    there.type("sample-dwell_hours", "4")
    there.type("sample-leucocytes_per_ul", "900")
    there.type("sample-neutrophil_percent", "80")
    there.type("sample-reason", "From the discharge letter.")
    there.press("Save the episode")
    assert there.title == "Confirmed peritonitis, new. Counted."
    assert there.clinic not in home
    assert nurse.unringed + there.unringed == []
