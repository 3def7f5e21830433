"""Which rows a list gives, in which order, which page: closed lists, every other word refused."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.db.models import F, QuerySet
from django.http import QueryDict

from clinic.api.limits import MOST_PAGE_ROWS, PAGE_ROWS
from clinic.api.problems import Rejected
from clinic.api.rows import columns_of, parent_name
from clinic.columns import Column
from clinic.models import Clinic, RecordRow
from clinic.reading import CellFault, read_cell, shown

_WHOLE = re.compile(r"[1-9][0-9]{0,5}")
_PAGING = ("ordering", "page", "page_size")
# A day may be asked for exactly, or from and to.
_LOOKUPS = {"": "", "_from": "__gte", "_to": "__lte"}
_FILTERED = frozenset({"text", "choice", "yes_no", "day", "organism"})
_ORDERED = frozenset({"text", "day", "moment", "number", "whole"})


def filter_names(model: type[RecordRow]) -> list[str]:
    names = [parent_name(model)] if parent_name(model) else []
    for column in columns_of(model):
        if column.kind in _FILTERED:
            endings = _LOOKUPS if column.kind == "day" else ("",)
            names += [f"{column.name}{ending}" for ending in endings]
    return names


def ordering_names(model: type[RecordRow]) -> list[str]:
    named = [column.name for column in columns_of(model) if column.kind in _ORDERED]
    return ["recorded_at", *named]


class Asked:
    """The query of one list: what is asked for, or every fault in it at once."""

    def __init__(self, model: type[RecordRow], query: QueryDict, clinic: Clinic) -> None:
        self.model, self.query, self.clinic = model, query, clinic
        self.errors: dict[str, list[str]] = {}

    def rows(
        self, rows: QuerySet[Any], in_sight: Callable[[type[RecordRow]], QuerySet[Any]]
    ) -> QuerySet[Any]:
        self._refuse_unknown()
        found = rows.filter(**self._wanted(in_sight)).order_by(*self._order())
        if self.errors:
            raise Rejected(self.errors)
        return found

    def _refuse_unknown(self) -> None:
        allowed = [*filter_names(self.model), *_PAGING]
        for name, values in self.query.lists():
            if name not in allowed:
                self.errors[shown(name)] = [f"unknown; allowed: {', '.join(allowed)}"]
            elif len(values) > 1:
                self.errors[name] = ["once"]

    def _wanted(self, in_sight: Callable[[type[RecordRow]], QuerySet[Any]]) -> dict[str, Any]:
        wanted: dict[str, Any] = {}
        for column in columns_of(self.model):
            for ending, lookup in _LOOKUPS.items() if column.kind == "day" else [("", "")]:
                name = f"{column.name}{ending}"
                if name in self.query and column.kind in _FILTERED:
                    wanted |= self._compared(column, name, lookup)
        parent = parent_name(self.model)
        if parent and parent in self.query:
            wanted[parent] = self._parent(parent, in_sight)
        return wanted

    def _compared(self, column: Column, name: str, lookup: str) -> dict[str, Any]:
        try:
            value = read_cell(column, self.query[name], self.clinic.zone)
        except CellFault as fault:
            self.errors[name] = [fault.sentence]
            return {}
        if lookup and value is None:
            self.errors[name] = [f"allowed: {column.allowed}"]
            return {}
        return {f"{column.name}{lookup}": value}

    def _parent(self, name: str, in_sight: Callable[[type[RecordRow]], QuerySet[Any]]) -> Any:
        model = self.model._meta.get_field(name).related_model
        try:
            found = in_sight(model).filter(uid=UUID(self.query[name])).first()
        except ValueError:
            found = None
        if found is None:
            self.errors[name] = [f"no such {model.subject.one}"]
        return found

    def _order(self) -> list[Any]:
        asked = self.query.get("ordering", "recorded_at")
        name = asked.removeprefix("-")
        allowed = ordering_names(self.model)
        if name not in allowed:
            told = f"allowed: {', '.join(allowed)}; with - before it, the last first"
            self.errors["ordering"] = [told]
            return []
        field = F(name)
        first = field.desc(nulls_last=True) if asked != name else field.asc(nulls_last=True)
        return [first, "pk"]

    def page(self, rows: QuerySet[Any]) -> dict[str, Any]:
        size = self._whole("page_size", PAGE_ROWS, MOST_PAGE_ROWS)
        count = rows.count()
        pages = max(1, -(-count // size))
        number = self._whole("page", 1, pages)
        return {
            "count": count,
            "page": number,
            "pages": pages,
            "next": self._link(number + 1) if number < pages else None,
            "previous": self._link(number - 1) if number > 1 else None,
            "results": list(rows[(number - 1) * size : number * size]),
        }

    def _whole(self, name: str, usual: int, most: int) -> int:
        typed = self.query.get(name, str(usual))
        if not _WHOLE.fullmatch(typed) or int(typed) > most:
            raise Rejected({name: [f"1 to {most}"]})
        return int(typed)

    def _link(self, page: int) -> str:
        return f"?{urlencode(_plain(self.query) | {'page': page})}"


def _plain(query: Mapping[str, str]) -> dict[str, str]:
    return {name: query[name] for name in query}
