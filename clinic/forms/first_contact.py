"""Three forms sent as one: the episode, its first sample, the organism that grew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from clinic.actions.refusals import Refused
from clinic.actions.rights import asks_reason
from clinic.columns import EFFLUENT_SAMPLES, ISOLATES, PERITONITIS
from clinic.forms.groups import FIRST_CONTACT
from clinic.forms.names import suggested_names
from clinic.forms.record_form import Group, RecordForm
from clinic.lineage import clinic_of
from clinic.models import EffluentSample, Patient, Peritonitis, Person

_EPISODE_FIELDS = [
    name for _, fields in FIRST_CONTACT for form, name in fields if form == "episode"
]


class FirstContact:
    """What a nurse knows when the patient has come; a sample is stored if it is spoken of."""

    def __init__(self, *, patient: Patient, by: Person, data: Mapping[str, Any] | None) -> None:
        clinic = clinic_of(patient)
        self.episode = RecordForm(
            subject=PERITONITIS, clinic=clinic, data=data, prefix="episode",
            only=_EPISODE_FIELDS,
            initial=suggested_names(Peritonitis, patient),
        )  # fmt: skip
        self.sample = RecordForm(
            subject=EFFLUENT_SAMPLES, clinic=clinic, prefix="sample",
            data=data if _tells_of_a_sample(data or {}) else None,
            initial=suggested_names(EffluentSample, None),
            asks_reason=asks_reason(by, "sample.write", patient),
        )  # fmt: skip
        self.isolate = RecordForm(subject=ISOLATES, clinic=clinic, data=data, prefix="isolate")
        self.isolate.fields["organism"].required = False

    @property
    def forms(self) -> tuple[RecordForm, RecordForm, RecordForm]:
        return (self.episode, self.sample, self.isolate)

    @property
    def is_bound(self) -> bool:
        return self.episode.is_bound

    @property
    def has_errors(self) -> bool:
        return any(form.errors for form in self.forms)

    def is_valid(self) -> bool:
        bound = [form.is_valid() for form in self.forms if form.is_bound]  # every fault at once
        valid = all(bound)
        if valid and self._organism and self.sample.values["culture"] != "grown":
            self.isolate.add_error(
                "organism", "An organism stands with a culture that grew: say so above."
            )
            return False
        return valid

    @property
    def _organism(self) -> str:
        return self.isolate.cleaned_data.get("organism", "")

    @property
    def values(self) -> dict[str, Any]:
        """What clinic.actions.episodes.record_episode takes."""
        return {
            "episode": self.episode.values,
            "sample": self.sample.values if self.sample.is_bound else None,
            "isolate": {"organism": self._organism} if self._organism else None,
            "reason": self.sample.given_reason if self.sample.is_bound else "",
        }

    def add_refusal(self, refused: Refused) -> None:
        """A fault stands at the form of its subject."""
        for fault in refused.faults:
            form = next((f for f in self.forms if f.subject.name == fault.subject), self.episode)
            form.add_refusal(Refused(fault))

    def groups(self) -> Iterator[Group]:
        for title, fields in FIRST_CONTACT:
            yield Group(title, tuple(getattr(self, form).asked(name) for form, name in fields))


def _tells_of_a_sample(data: Mapping[str, Any]) -> bool:
    """A proposed name alone is no sample; one answer, or an organism, is."""
    told = [f"sample-{column.name}" for column in EFFLUENT_SAMPLES if column.name != "sample"]
    return any(data.get(name, "").strip() for name in (*told, "isolate-organism"))
