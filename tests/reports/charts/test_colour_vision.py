"""The inks of the pictures stay apart for the common colour-vision deficiencies.

Matrices: Machado, Oliveira, Fernandes 2009 (IEEE TVCG 15:1291), severity 1.0, on linear RGB; from
memory. Distance: CIE 1976 L*a*b*, simpler than the CIEDE2000 of the palette's own check; the least
distance of 8 is our choice; where two inks come near it, sign, hatch or name tell them apart too.
"""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

SHEET = Path(__file__).parents[3] / "clinic/static/clinic/tokens.css"
VISION = {
    "normal": np.eye(3),
    "protan": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                        [-0.003882, -0.048116, 1.051998]]),
    "deutan": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                        [-0.011820, 0.042940, 0.968881]]),
    "tritan": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                        [0.004733, 0.691367, 0.303900]]),
}  # fmt: skip
# Inks that one picture shows beside each other, and paper.
TOGETHER = (
    ("paper", "data-1", "data-4"),  # organism classes: a Gram-negative bar also has its slit
    ("paper", "ink", "mark"),  # water among the families
    ("paper", "ink", "accent"),  # ranges and targets
    ("paper", "ink", "attention"),  # alarms
)
_D65 = np.array([0.95047, 1.0, 1.08883])
_XYZ = np.array([[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750],
                 [0.0193339, 0.1191920, 0.9503041]])  # fmt: skip


def colours(scheme: str) -> dict[str, str]:
    light, dark = SHEET.read_text(encoding="utf-8").split("@media", 1)
    text = light if scheme == "light" else dark
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", text))


def lab(colour: str, seen: np.ndarray) -> np.ndarray:
    """CIE L*a*b* of a colour as one kind of vision has it."""
    rgb = np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)]) / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    xyz = _XYZ @ np.clip(seen @ linear, 0, 1) / _D65
    f = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("vision", VISION)
@pytest.mark.parametrize("inks", TOGETHER)
def test_inks_shown_together_stay_apart(scheme: str, vision: str, inks: tuple[str, ...]) -> None:
    found = {name: lab(colours(scheme)[name], VISION[vision]) for name in inks}
    near = {
        (one, other): float(np.linalg.norm(found[one] - found[other]))
        for one, other in combinations(inks, 2)
    }

    assert min(near.values()) > 8, near


def test_black_and_white_are_as_far_apart_as_the_scale_goes() -> None:
    """L* runs from 0 to 100: the formulas themselves."""
    assert lab("#ffffff", VISION["normal"]) == pytest.approx([100, 0, 0], abs=0.01)
    assert lab("#000000", VISION["normal"]) == pytest.approx([0, 0, 0], abs=0.01)
