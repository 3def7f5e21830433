"""Contrast of every role with its paper, in light, dark and print (WCAG 2.2, 1.4.3 and 1.4.11)."""

import re
from pathlib import Path

import pytest

STYLES = Path("clinic/static/clinic")
TEXT = ("ink", "quiet", "accent", "attention")
MARKS = ("mark", *(f"data-{number}" for number in range(1, 9)))
_ROLE = re.compile(r"--([a-z0-9-]+):\s*(#[0-9a-f]{6})")


def roles(sheet: str, part: int) -> dict[str, str]:
    """The colours of the one `:root` block asked for, over those of the first."""
    blocks = (STYLES / sheet).read_text(encoding="utf-8").split(":root {")[1:]
    return dict(_ROLE.findall(blocks[part].split("}")[0]))


LIGHT = roles("tokens.css", 0)
SCHEMES = {
    "light": LIGHT,
    "dark": LIGHT | roles("tokens.css", 1),
    "print": LIGHT | roles("print.css", 0),
}


def luminance(colour: str) -> float:
    """WCAG's relative luminance."""
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("role", TEXT)
@pytest.mark.parametrize("ground", ["paper", "wash"])
def test_text_reaches_four_and_a_half(scheme, role, ground):
    colours = SCHEMES[scheme]
    assert contrast(colours[role], colours[ground]) >= 4.5


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("role", MARKS)
def test_marks_reach_three(scheme, role):
    colours = SCHEMES[scheme]
    assert contrast(colours[role], colours["paper"]) >= 3


# The contrasts with paper that the colours were chosen for, light and dark.
@pytest.mark.parametrize(
    "role, light, dark",
    [("ink", 17.1, 15.0), ("quiet", 6.6, 8.0), ("mark", 3.6, 4.9), ("accent", 9.2, 8.4),
     ("attention", 6.9, 8.5)],
)  # fmt: skip
def test_contrasts_are_those_chosen(role, light, dark):
    for scheme, expected in (("light", light), ("dark", dark)):
        colours = SCHEMES[scheme]
        assert contrast(colours[role], colours["paper"]) == pytest.approx(expected, abs=0.06)


def test_text_on_a_filled_button_is_paper_on_accent():
    for colours in SCHEMES.values():
        assert contrast(colours["paper"], colours["accent"]) >= 4.5


def test_style_sheets_fetch_nothing_from_elsewhere():
    for sheet in STYLES.glob("*.css"):
        text = sheet.read_text(encoding="utf-8")
        assert "@import" not in text and "url(" not in text and "http" not in text
