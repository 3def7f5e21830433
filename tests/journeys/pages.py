"""Every page of the service, by the name of its address: who opens it, and how it is found.

`{clinic}` and the other names in braces are ids that tests/journeys/test_every_page.py looks up.
"""

from __future__ import annotations

from dataclasses import dataclass

from clinic.columns import SUBJECTS

_PARTS = [name for name in SUBJECTS if name not in ("clinics", "patients")]


@dataclass(frozen=True)
class Shown:
    """One page: the person at it, its address, the status that it answers with."""

    who: str
    address: str
    status: int = 200


def _nurse(*ends: str) -> tuple[Shown, ...]:
    return tuple(Shown("bramble", f"/clinic/{{clinic}}/{end}") for end in ends)


def _director(*ends: str) -> tuple[Shown, ...]:
    return tuple(Shown("hazel", f"/clinic/{{clinic}}/{end}") for end in ends)


PAGES: dict[str, tuple[Shown, ...]] = {
    "start": (Shown("teasel", "/"),),
    "sign_in": (Shown("", "/sign-in"),),
    "today": _nurse("today/"),
    "local_text": _director("text/"),
    "gaps": _nurse("gaps/"),
    "settle_gap": _nurse("gaps/{gap}/"),
    "call": _nurse("call/", "call/?number=P0"),
    "new_call": _nurse("call/of/{patient}/"),
    "open_call": _nurse("call/{call}/"),
    "red_flags": _nurse("call/{call}/flags/"),
    "patients": _nurse("patients/", "patients/?number=nobody"),
    "new_patient": _nurse("patients/new/"),
    "patient": _nurse("patients/{patient}/", "patients/{patient}/?view=year"),
    "new_episode": _nurse("patients/{patient}/episode/"),
    "episode": _nurse("episodes/{peritonitis}/", "episodes/{catheter_infections}/"),
    "episode_part": _nurse(
        *(f"episodes/{{peritonitis}}/{part}/" for part in ("arrival", "decision", "outcome")),
        "episodes/{peritonitis}/closing/",
    ),
    "dissent": _director("episodes/{peritonitis}/dissent/"),
    "ask_second": _nurse("episodes/{judged}/ask/"),
    "give_second": _director("second/peritonitis/{judged}/"),
    "add": _nurse(*(f"add/{name}/{{{SUBJECTS[name].parent}}}/" for name in _PARTS)),
    "amend": _nurse(*(f"amend/{name}/{{{name}}}/" for name in ("patients", *_PARTS))),
    "withdraw": _nurse("withdraw/peritonitis/{peritonitis}/"),
    "restore": (Shown("teasel", "/clinic/{clinic}/restore/peritonitis/{withdrawn}/"),),
    "quarter": _director("quarter/2025-Q3/"),
    "repeat_patients": _director("quarter/2025-Q3/patients/"),
    "clinic_settings": _director("settings/"),
    "agree_phase": _director("settings/phase/"),
    "withdraw_phase": _director("settings/phase/{phase}/"),
    "watch": _director("watch/"),
    "signal": _director("{signal}"),
    "signal_rule": _director("watch/peritonitis_cusum/", "watch/organism_cluster/"),
    "signal_note": _director("{signal}note/"),
    "signal_close": _director("{signal}close/"),
    "signal_step": _director("{signal}step/look_back/"),
    "network": (
        Shown("hazel", "/clinic/{clinic}/network/2025-Q4/"),
        Shown("heather", "/clinic/{clinic}/network/2025-Q3/"),
    ),
    "decisions": _director("decisions/"),
    "new_decision": _director("decisions/new/"),
    "rules": _director("quarter/2025-Q3/rules/"),
    "review_decision": _director("decisions/{decision}/"),
    "report": _director("report/"),
    "prepare": _nurse("report/prepare/2025-Q4/"),
    "report_version": _director("report/{version}/"),
    "sample": _director("report/{version}/sample/?n=3&seed=abc"),
    "recount": _director("recount/{version}/2025-Q3-4q/peritonitis_rate/"),
    "account": (Shown("bramble", "/account/"),),
    "activity": (Shown("bramble", "/account/activity/"),),
    "new_password": (Shown("bramble", "/account/password/"),),
    "new_token": (Shown("bramble", "/account/tokens/new/"),),
    "people": (Shown("fennel", "/people/"), Shown("hazel", "/people/")),
    "person": (Shown("fennel", "/people/{person}/"),),
    "invite": (Shown("fennel", "/people/invite/"),),
    "give_audit": (Shown("hazel", "/people/auditor/"),),
    "give_grant": (Shown("fennel", "/people/{person}/grant/"),),
    "close_account": (Shown("fennel", "/people/{person}/close/"),),
    "end_grant": (Shown("fennel", "/people/grants/{grant}/end/"),),
    "choose_password": (Shown("", "/welcome/no-such-link/", 404),),
}
# Pages without a name of their own.
REFUSALS = (
    Shown("bramble", "/clinic/00000000-0000-4000-8000-000000000000/today/", 404),
    Shown("fennel", "/clinic/{clinic}/patients/", 403),
)
# Addresses that show no page of their own, or one that the demonstration cannot reach.
NOT_SHOWN: dict[str, str] = {
    "sign_out": "only sent to",
    "map_name": "only sent to; answers with Gaps",
    "compute_now": "only sent to",
    "computation": "walked by test_nurse_to_auditor.py",
    "sign": "only sent to; answers with the version's page",
    "return": "only sent to; answers with the version's page",
    "section_numbers": "a file",
    "watch_numbers": "a file",
    "signal_lines": "a file",
    "signal_seen": "only sent to",
    "signal_investigate": "only sent to; answers with the signal's page",
    "chart_svg": "a file",
    "chart_png": "a file",
    "measures_csv": "a file",
    "measures_json": "a file",
    "report_file": "a file",
    "second_factor": "off in a demonstration; its page is read in test_second_step.py",
    "set_up_second_factor": "off in a demonstration; its page is read in test_second_step.py",
    "end_session": "only sent to",
    "revoke_own": "only sent to",
    "revoke_token": "only sent to",
    "new_link": "only sent to",
}
