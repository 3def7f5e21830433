"""SVG text in, PNG bytes out, with letters of a font that comes as a package."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

_PIXELS_PER_INCH = 192  # two pixels a point: sharp on a slide
_SHEET = b"""
#set page(width: auto, height: auto, margin: 0pt)
#image(bytes(sys.inputs.svg), width: 936pt)
"""


def png_bytes(svg: str) -> bytes:
    """The same bytes for the same text: no font of the machine is asked."""
    import typst

    return bytes(
        typst.compile(
            _SHEET, format="png", ppi=_PIXELS_PER_INCH, sys_inputs={"svg": svg},
            font_paths=[str(_fonts())], ignore_system_fonts=True,
        )
    )  # fmt: skip


def _fonts() -> Path:
    spec = find_spec("font_roboto")
    if spec is None or spec.origin is None:
        raise RuntimeError("the package font-roboto is not installed")
    return Path(spec.origin).parent / "files"
