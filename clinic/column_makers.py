"""One short way to declare a column of each kind."""

from __future__ import annotations

from clinic.column_kinds import YES_NO, Column


def text(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "text", meaning, ask, **more)  # type: ignore[arg-type]


def note(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "note", meaning, ask, **more)  # type: ignore[arg-type]


def day(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "day", meaning, ask, **more)  # type: ignore[arg-type]


def moment(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "moment", meaning, ask, **more)  # type: ignore[arg-type]


def yes_no(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "yes_no", meaning, ask, choices=YES_NO, **more)  # type: ignore[arg-type]


def choice(name: str, choices: str, ask: str, meaning: str, **more: object) -> Column:
    listed = tuple(choices.split())
    return Column(name, "choice", meaning, ask, choices=listed, **more)  # type: ignore[arg-type]


def several(name: str, choices: str, ask: str, meaning: str, **more: object) -> Column:
    listed = tuple(choices.split())
    return Column(name, "several", meaning, ask, choices=listed, **more)  # type: ignore[arg-type]


def whole(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "whole", meaning, ask, **more)  # type: ignore[arg-type]


def number(name: str, ask: str, meaning: str, **more: object) -> Column:
    return Column(name, "number", meaning, ask, **more)  # type: ignore[arg-type]
