"""Reads a JSON body (RFC 8259): bounded in size and depth, no NaN, no name twice."""

from __future__ import annotations

import json
import math
import re
from decimal import Decimal
from typing import Any, BinaryIO

from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import BaseParser

from clinic.api.limits import BODY_BYTES, BODY_FIELDS, NESTING_LEVELS
from clinic.reading import shown

# Strings are stepped over, so that a bracket inside one is no level.
_TOKENS = re.compile(r'"(?:[^"\\]|\\.)*"?|[\[{]|[\]}]', re.DOTALL)


class TooLarge(APIException):
    status_code = 413
    default_detail = f"The body is larger than {BODY_BYTES // 1024 // 1024} MB (setting)."


class StrictJSONParser(BaseParser):
    """Numbers come as the text that a record file would hold: one reader judges them all."""

    media_type = "application/json"

    def parse(
        self, stream: BinaryIO, media_type: str | None = None, parser_context: dict | None = None
    ) -> Any:
        text = _text(stream, parser_context or {})
        _require_shallow(text)
        try:
            return json.loads(
                text, parse_float=number_text, parse_int=IntegerText,
                parse_constant=_no_constant, object_pairs_hook=_object,
            )  # fmt: skip
        except json.JSONDecodeError as error:
            where = f"line {error.lineno}, column {error.colno}"
            raise ParseError(f"not valid JSON ({where})") from None


class NumberText(str):
    """A JSON number, as text; kept apart from a text in quotation marks."""


class IntegerText(NumberText):
    """A JSON number without a point."""


def _text(stream: BinaryIO, context: dict) -> str:
    length = context["request"].META.get("CONTENT_LENGTH") or "0" if "request" in context else "0"
    if length.isdigit() and int(length) > BODY_BYTES:
        raise TooLarge
    body = stream.read(BODY_BYTES + 1)
    if len(body) > BODY_BYTES:
        raise TooLarge
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError:
        raise ParseError("not valid JSON: the body is not UTF-8") from None


def _require_shallow(text: str) -> None:
    level = 0
    for found in _TOKENS.finditer(text):
        level += {"[": 1, "{": 1, "]": -1, "}": -1}.get(found[0], 0)
        if level > NESTING_LEVELS:
            raise ParseError(f"nested too deep (limit {NESTING_LEVELS}, setting)")


def number_text(raw: str) -> str:
    """Plain digits: 1e2 and 100.0 are 100 (RFC 8259 knows one kind of number); what no
    number can hold is told from the field itself."""
    value = float(raw)
    if not math.isfinite(value):
        return NumberText(raw)
    if value.is_integer():
        return IntegerText(int(value))
    plain = repr(value)
    return NumberText(format(Decimal(plain), "f") if "e" in plain else plain)


def _no_constant(name: str) -> None:
    raise ParseError(f"not valid JSON: {name} is no number of JSON")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(pairs) > BODY_FIELDS:
        raise ParseError(f"more than {BODY_FIELDS} fields (setting)")
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ParseError(f"the field {shown(twice)} stands twice")
    return found
