"""Shapes of a drawing as SVG text; colours come from classes, so that dark and print follow."""

from __future__ import annotations

from html import escape

# The mean width of a letter beside its size, measured on common sans faces; errs wide.
_LETTER_EM = 0.55


def number_text(number: float) -> str:
    """A coordinate with at most two digits, without a trailing zero."""
    return f"{number:.2f}".rstrip("0").rstrip(".") if number % 1 else f"{number:.0f}"


def _attribute(name: str, value: object) -> str:
    shown = number_text(value) if isinstance(value, (int, float)) else escape(str(value))
    return f' {name.rstrip("_").replace("_", "-")}="{shown}"'


def element(name: str, *children: str, **attributes: object) -> str:
    """One element; `class_` writes class, `data_value` writes data-value, None writes nothing."""
    held = "".join(_attribute(key, value) for key, value in attributes.items() if value is not None)
    inside = "".join(children)
    return f"<{name}{held}>{inside}</{name}>" if inside else f"<{name}{held}/>"


def line(
    x1: float, y1: float, x2: float, y2: float, ink: str, width: float = 1, dash: str | None = None
) -> str:
    return element(
        "line", x1=x1, y1=y1, x2=x2, y2=y2, class_=ink, stroke_width=width, stroke_dasharray=dash
    )


def words(x: float, y: float, said: str, ink: str = "", anchor: str | None = None) -> str:
    """A piece of text, its baseline at y."""
    return element("text", escape(said), x=x, y=y, class_=ink or None, text_anchor=anchor)


def circle(x: float, y: float, radius: float, ink: str, width: float | None = None) -> str:
    return element("circle", cx=x, cy=y, r=radius, class_=ink, stroke_width=width)


def box(
    x: float, y: float, width: float, height: float, ink: str, stroke: float | None = None,
    fill: str | None = None,
) -> str:  # fmt: skip
    return element(
        "rect", x=x, y=y, width=width, height=height, class_=ink, stroke_width=stroke, fill=fill
    )


def path(course: str, ink: str, width: float = 1) -> str:
    return element("path", d=course, class_=ink, stroke_width=width)


def mark(name: str, x: float, y: float, size: float = 20) -> str:
    """A mark of the page's set, its middle at x, y."""
    return element(
        "use", href=f"#mark-{name}", x=x - size / 2, y=y - size / 2, width=size, height=size,
        class_="mark-in",
    )  # fmt: skip


def group(*children: str, title: str = "", **attributes: object) -> str:
    """Shapes that belong to one figure; the title shows its words to a resting pointer."""
    head = element("title", escape(title)) if title else ""
    return element("g", head, *children, **attributes)


def linked(address: str, said: str, *shapes: str) -> str:
    """Shapes that lead somewhere; the words name the link for who cannot see the shape."""
    if not address:
        return "".join(shapes)
    return element("a", *shapes, href=address, aria_label=said, class_="lead-on")


def reach(x: float, y: float, width: float, height: float) -> str:
    """An unseen box, its middle at x, y: a small mark is as easy to hit as a finger is wide."""
    return box(x - width / 2, y - height / 2, width, height, "reach")


def hatch(name: str) -> str:
    """A pattern of slanted lines, used as fill="url(#name)"."""
    slant = path("M-2 2l4-4M0 8L8 0M6 10l4-4", "line-ink fill-none", 1.6)
    return element(
        "defs",
        element("pattern", slant, id=name, width=8, height=8, patternUnits="userSpaceOnUse"),
    )


def drawing(width: float, height: float, label: str, variant: str, *children: str) -> str:
    """The whole drawing; `variant` is wide, narrow or both. One with links is a group of them:
    nothing inside an image could be reached."""
    role = "group" if any("<a " in child for child in children) else "img"
    return element(
        "svg", *children, xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number_text(width)} {number_text(height)}",
        class_="drawing" if variant == "both" else f"drawing drawing-{variant}",
        role=role, aria_label=label,
    )  # fmt: skip


def text_width(said: str, size: float = 13.5) -> float:
    """About how wide a piece of text will be; no drawing depends on it to the pixel."""
    return len(said) * size * _LETTER_EM
