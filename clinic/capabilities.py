"""Who may do what, cell by cell: fixtures/access.csv as data (a test holds the two equal)."""

from __future__ import annotations

from dataclasses import dataclass

from clinic.models.people import ROLES

ANONYMOUS = "anonymous"
EVERYBODY = " ".join(ROLES)
ALL_BUT_ADMINISTRATOR = " ".join(role for role in ROLES if role != "administrator")


@dataclass(frozen=True)
class Cell:
    """What one role may do with one capability: where, and on which conditions."""

    scope: str
    conditions: tuple[str, ...] = ()

    @classmethod
    def read(cls, text: str) -> Cell:
        scope, *conditions = text.split("; ")
        return cls(scope, tuple(conditions))

    def __str__(self) -> str:
        return "; ".join((self.scope, *self.conditions))


# Roles that share a cell share an entry; a role that is not named is refused.
_GRANTED: dict[str, dict[str, str]] = {
    "account.sign_in": {EVERYBODY: "yes", ANONYMOUS: "yes"},
    "account.sign_out": {EVERYBODY: "yes"},
    "account.second_factor": {EVERYBODY: "own record"},
    "account.ask_password_reset": {EVERYBODY: "yes", ANONYMOUS: "yes"},
    "account.change_own_password": {EVERYBODY: "own record; step-up"},
    "account.own_sessions": {EVERYBODY: "own record"},
    "account.own_activity": {EVERYBODY: "own record"},
    "account.amend_own_role_or_clinic": {},
    "token.create_own": {
        ALL_BUT_ADMINISTRATOR: "own record; step-up; time-limited",
    },
    "token.revoke_own": {EVERYBODY: "own record"},
    "token.list_and_revoke_any": {"director": "own clinic", "administrator": "yes"},
    "token.use_for_sign_off_or_grants": {},
    "user.list": {"director": "own clinic", "administrator": "yes"},
    "user.invite": {"administrator": "yes; step-up"},
    "user.deactivate": {"administrator": "yes; step-up"},
    "user.delete": {},
    "user.impersonate": {},
    "grant.give_clinic_role": {"administrator": "yes; step-up"},
    "grant.give_auditor": {"director": "own clinic; step-up", "administrator": "yes; step-up"},
    "grant.give_network_officer": {"administrator": "yes; step-up"},
    "grant.give_researcher": {"director": "own clinic; step-up; four-eyes"},
    "grant.give_administrator": {"administrator": "yes; step-up"},
    "grant.end": {"director": "own clinic; step-up", "administrator": "yes; step-up"},
    "grant.read_history": {"director": "own clinic", "administrator": "yes"},
    "service_account.manage": {"administrator": "yes; step-up"},
    "clinic.read": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant",
        "network_officer": "own network",
        "administrator": "yes",
    },
    "clinic.create_or_amend": {"administrator": "yes; step-up"},
    "clinic.close": {"administrator": "yes; step-up; reason"},
    "clinic_text.amend": {"director": "own clinic; reason"},
    "network.amend_membership": {"administrator": "yes; step-up; reason"},
    "rule_set.choose": {"director": "own clinic; step-up; reason"},
    "target.amend": {"director": "own clinic; reason", "network_officer": "own network; reason"},
    "organism.read": {ALL_BUT_ADMINISTRATOR: "yes"},
    "organism.map_local_name": {"nurse data_manager": "own clinic"},
    "small_cell_policy.read": {EVERYBODY: "yes"},
    "small_cell_policy.raise_or_take_back": {
        "director": "own clinic; step-up; reason",
        "network_officer": "own network; step-up; reason",
    },
    "small_cell_policy.below_floor": {},
    "patient.list": {"nurse director data_manager": "own clinic"},
    "patient.read": {"nurse director data_manager": "own clinic"},
    "patient.record": {"nurse data_manager": "own clinic"},
    "patient.amend": {"nurse data_manager": "own clinic; reason"},
    "patient.merge": {"data_manager": "own clinic; reason"},
    "patient.unmerge": {"data_manager": "own clinic; reason"},
    "patient.link_transfer": {"data_manager": "own clinic; four-eyes"},
    "patient.withdraw": {"data_manager": "own clinic; reason"},
    "patient.erase": {},
    "patient.who_read_this": {"director": "own clinic"},
    "sample_key.open": {"nurse director": "own clinic; time-limited"},
    "spell.read": {"nurse director data_manager": "own clinic"},
    "spell.write": {"nurse": "own clinic", "data_manager": "own clinic; reason"},
    "spell.withdraw": {"data_manager": "own clinic; reason"},
    "catheter.read": {"nurse director data_manager": "own clinic"},
    "catheter.write": {"nurse": "own clinic", "data_manager": "own clinic; reason"},
    "catheter.withdraw": {"data_manager": "own clinic; reason"},
    "training.read": {"nurse director data_manager": "own clinic"},
    "training.write": {"nurse": "own clinic", "data_manager": "own clinic; reason"},
    "training.withdraw": {"nurse data_manager": "own clinic; reason"},
    "technique_observation.write": {"nurse": "own clinic"},
    "contamination.write": {"nurse": "own clinic", "data_manager": "own clinic; reason"},
    "admission.write": {"nurse": "own clinic", "data_manager": "own clinic; reason"},
    "morning_list.read": {"nurse director data_manager": "own clinic"},
    "episode.list": {"nurse director data_manager": "own clinic"},
    "episode.read": {"nurse director data_manager": "own clinic"},
    "episode.read_pseudonyms": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms; signed only",
    },
    "episode.record": {"nurse data_manager": "own clinic"},
    "episode.amend": {"nurse director data_manager": "own clinic; reason"},
    "episode.amend_after_freeze": {"nurse director data_manager": "own clinic; reason"},
    "episode.override_class": {"director": "own clinic; reason"},
    "episode.second_judgement": {"nurse director": "own clinic"},
    "episode.withdraw": {"nurse data_manager": "own clinic; reason"},
    "episode.restore": {"data_manager": "own clinic; reason"},
    "episode.delete": {},
    "episode.history": {"nurse director data_manager": "own clinic"},
    "episode.notes_read": {"nurse director data_manager": "own clinic"},
    "root_cause.read": {"nurse director data_manager": "own clinic"},
    "admission.read": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms; signed only",
    },
    "contamination.read": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms; signed only",
    },
    "technique_observation.read": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms; signed only",
    },
    "exit_site_check.write": {"nurse": "own clinic", "data_manager": "own clinic; reason"},
    "root_cause.write": {"nurse director": "own clinic"},
    "action_log.write": {"nurse director": "own clinic"},
    "action_log.read": {"nurse director data_manager": "own clinic", "auditor": "own grant; coded"},
    "sample.read": {"nurse director data_manager": "own clinic"},
    "sample.write": {"nurse": "own clinic", "data_manager": "own clinic; reason"},
    "sample.withdraw": {"nurse data_manager": "own clinic; reason"},
    "lab_inbox.read": {"nurse data_manager": "own clinic"},
    "lab_inbox.match": {"nurse data_manager": "own clinic"},
    "lab_inbox.post": {},
    "import.check": {"data_manager": "own clinic"},
    "import.load": {"data_manager": "own clinic"},
    "import.history": {"director data_manager": "own clinic"},
    "import.file_download": {"data_manager": "own clinic; step-up; reason"},
    "completeness.read": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant",
        "network_officer": "own network; masked",
    },
    "duplicate_list.read": {"nurse data_manager": "own clinic"},
    "compute.draft": {"nurse director data_manager": "own clinic"},
    "quarter.prepare": {"nurse data_manager": "own clinic; step-up"},
    "quarter.return": {"director": "own clinic; reason"},
    "quarter.sign_off": {"director": "own clinic; step-up; four-eyes"},
    "quarter.take_back_signature": {},
    "quarter.prepare_restatement": {"nurse data_manager": "own clinic; step-up; reason"},
    "quarter.sign_restatement": {"director": "own clinic; step-up; four-eyes"},
    "quarter.list_versions": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; signed only",
        "network_officer": "own network; signed only",
    },
    "snapshot.amend_or_delete": {},
    "dashboard.clinic_draft": {"nurse director data_manager": "own clinic"},
    "dashboard.clinic_frozen": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; signed only",
        "network_officer": "own network; masked; signed only",
    },
    "dashboard.network": {
        "director": "own clinic; coded",
        "network_officer": "own network; masked; signed only",
    },
    "dashboard.signals": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; signed only",
        "network_officer": "own network; masked",
    },
    "dashboard.repeat_patients": {"nurse director": "own clinic"},
    "dashboard.trainer_cohort": {"nurse director": "own clinic; coded"},
    "baseline.amend": {"director": "own clinic; reason"},
    "signal.work": {"nurse director": "own clinic"},
    "chart.image_and_table": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; signed only",
        "network_officer": "own network; masked; signed only",
    },
    "definition.read": {EVERYBODY: "yes"},
    "line_list.identified_page": {"nurse director data_manager": "own clinic"},
    "line_list.identified_download": {"nurse director data_manager": "own clinic; reason"},
    "line_list.pseudonyms": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms",
    },
    "denominator_ledger.pseudonyms": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms",
    },
    "rate_report.draft": {"nurse director data_manager": "own clinic"},
    "rate_report.full": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms; signed only",
    },
    "rate_report.outside": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; masked; signed only",
        "network_officer": "own network; masked; signed only",
    },
    "measures.export": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; signed only",
        "network_officer": "own network; masked; signed only",
    },
    "report.verify_hash": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant",
        "network_officer": "own network",
    },
    "recount.open": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms; signed only",
    },
    "sample.draw": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; pseudonyms",
    },
    "finding.record": {"auditor": "own grant"},
    "finding.read": {"nurse director data_manager": "own clinic", "auditor": "own record"},
    "download_link.open": {
        ALL_BUT_ADMINISTRATOR: "own record",
    },
    "downloads_log.read": {
        "nurse auditor network_officer researcher": "own record",
        "director data_manager": "own clinic",
        "administrator": "yes",
    },
    "research.prepare_files": {"data_manager": "own clinic; reason"},
    "research.approve": {"director": "own clinic; step-up; four-eyes"},
    "research.download": {"researcher": "own project; masked; pseudonyms; time-limited"},
    "research.codebook_and_twin": {"researcher": "own project"},
    "research.withdraw_release": {"director": "own clinic; reason"},
    "audit.clinic_trail": {"director data_manager": "own clinic"},
    "audit.change_list_since_freeze": {
        "nurse director data_manager": "own clinic",
        "auditor": "own grant; coded",
    },
    "audit.security_trail": {"director": "own clinic", "administrator": "yes"},
    "audit.amend_or_delete": {},
    "job.list": {"data_manager": "own clinic", "administrator": "yes"},
    "job.run_again": {"data_manager": "own clinic", "administrator": "yes"},
    "schedule.amend": {},
    "backup.read_status": {"administrator": "yes"},
    "backup.download": {},
    "health.live": {EVERYBODY: "yes", ANONYMOUS: "yes"},
    "health.ready": {EVERYBODY: "yes", ANONYMOUS: "yes"},
    "health.detail": {"administrator": "yes"},
    "api.schema": {EVERYBODY: "yes"},
    "admin_site": {},
    "error_page": {EVERYBODY: "yes", ANONYMOUS: "yes"},
}

# Commands on the host have no web role: the question does not arise.
COMMANDS = (
    "command.back_up",
    "command.restore",
    "command.import_records",
    "command.compute_measures",
    "command.export_measures",
    "command.rate_report",
    "command.demo",
    "command.verify_report",
    "command.verify_audit",
    "command.calibrate_signals",
    "command.export_records",
    "command.first_administrator",
)

# In the table, and refused to everybody until it is built.
LATER = frozenset(
    {
        "account.ask_password_reset",
        "grant.give_researcher",
        "small_cell_policy.raise_or_take_back",
        "patient.merge",
        "patient.unmerge",
        "patient.link_transfer",
        "research.prepare_files",
        "research.approve",
        "research.download",
        "research.codebook_and_twin",
        "research.withdraw_release",
    }
)


def _row(granted: dict[str, str]) -> dict[str, Cell]:
    row = dict.fromkeys(ROLES, Cell("no")) | {ANONYMOUS: Cell("sign in")}
    for roles, text in granted.items():
        row |= dict.fromkeys(roles.split(), Cell.read(text))
    return row


CAPABILITIES: dict[str, dict[str, Cell]] = {
    **{name: _row(granted) for name, granted in _GRANTED.items()},
    **{name: dict.fromkeys((*ROLES, ANONYMOUS), Cell("n/a")) for name in COMMANDS},
}
