"""The two forms of Gaps: a warning settled, a laboratory's name mapped."""

from __future__ import annotations

from typing import Any

from django import forms

from clinic.forms.record_form import reason_field


class SettleForm(forms.Form):
    """Why the warning may stay as it is."""

    use_required_attribute = False
    reason = reason_field(required=True)


class NameForm(forms.Form):
    """One name of the laboratory, and the catalogue's entry that it stands for."""

    use_required_attribute = False
    name = forms.CharField(widget=forms.HiddenInput, max_length=200, strip=False)
    organism = forms.CharField(
        label="Stands for", max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "organisms"}),
        error_messages={"required": "Choose a name of the catalogue."},
    )  # fmt: skip


def name_forms(names: dict[str, int], faulty: NameForm | None) -> list[dict[str, Any]]:
    """A form a name with the number of rows that bear it; a refused one as it was typed."""
    typed = faulty.data.get("name") if faulty else None
    return [
        {"name": name, "rows": rows, "form": faulty if name == typed else _fresh(name, number)}
        for number, (name, rows) in enumerate(names.items())
    ]


def _fresh(name: str, number: int) -> NameForm:
    return NameForm(initial={"name": name}, auto_id=f"id_{number}_%s")
