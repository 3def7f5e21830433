# ruff: noqa: A005  named after the format that it writes, read only by its full path
"""A document in, JSON bytes out: the same document gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def json_bytes(document: Mapping[str, Any]) -> bytes:
    """UTF-8, keys in the order given, indented by one, one line feed at the end."""
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1)
    return (text + "\n").encode()
