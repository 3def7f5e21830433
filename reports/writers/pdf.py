"""A document's data in, PDF bytes out: tagged (PDF/UA-1), fit for keeping (PDF/A-3a), fonts inside.

Typst sets the page; the fonts are the ones that it carries, the data comes in as JSON and is never
read as typst source. The moment printed in the file's own data is fixed: the same data, the same
bytes.
"""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import typst

_SHEET = Path(__file__).with_name("sheet.typ")
_STANDARDS = ["a-3a", "ua-1"]
_MOMENT = 315532800  # 1 January 1980: a file knows no moment of its own
# The letters that typst's own fonts hold; any other is printed as its code point.
_UNKNOWN = re.compile(
    r"[^\n\u0020-\u024f\u0300-\u04ff\u05d0-\u05ea\u2010-\u2044\u2070-\u209c\u20ac\u2190-\u21ff\u2200-\u22ff]"
)


def readable(text: str) -> str:
    """The text with letters that no font of ours holds written as their code points."""
    return _UNKNOWN.sub(lambda found: f"[U+{ord(found[0]):04X}]", text)


def _readable(value: Any) -> Any:
    if isinstance(value, str):
        return readable(value)
    if isinstance(value, Mapping):
        return {key: _readable(one) for key, one in value.items()}
    return [_readable(one) for one in value] if isinstance(value, (list, tuple)) else value


def pdf_bytes(data: Mapping[str, Any], drawings: Mapping[str, str]) -> bytes:
    """`data`: what sheet.typ prints; `drawings`: SVG by name."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "sheet.typ").write_bytes(_SHEET.read_bytes())
        text = json.dumps(_readable(data), ensure_ascii=False)
        (root / "data.json").write_text(text, encoding="utf-8")
        for name, svg in drawings.items():
            (root / f"{name}.svg").write_text(svg, encoding="utf-8")
        made = typst.compile(
            str(root / "sheet.typ"), root=folder, format="pdf", pdf_standards=_STANDARDS,
            ignore_system_fonts=True, timestamp=_MOMENT,
        )  # fmt: skip
    return bytes(made)
