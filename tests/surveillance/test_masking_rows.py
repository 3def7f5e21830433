"""Hidden cells of a clinic's divided figures, attacked by linear reasoning over all that is shown.

The attacker knows every shown cell, the undivided figures, that counts are whole and not negative,
that the bands of a split sum to the undivided count (organism groups that overlap excepted), that
infections of either site are at most the sum and at least the larger of both sites, and that a
class counted alone is at most its group. A small cell is safe if another value fits as well.
"""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from surveillance.masking import HIDDEN, masked_rows

RATE, BY_GROUP = "peritonitis_rate", "organism_rate"
EXIT, TUNNEL, EITHER = (
    "exit_site_infection_rate", "tunnel_infection_rate", "catheter_infection_rate",
)  # fmt: skip
GROUPS = ("coagulase_negative_staphylococcus", "fungal", "pseudomonas", "streptococcus")
NO_GROWTH = ("culture_negative", "culture_pending", "not_cultured")
BANDS = {
    "catheter_age": ("0-30", "31-90", "91-181", "none_recorded"),
    "insertion_method": ("laparoscopic", "open", "none_recorded"),
    "modality": ("apd", "capd"),
}
Row = dict[str, str]


def row(measure: str, split: str, band: str, count: int) -> Row:
    return {
        "clinic": "TQ", "period": "2025", "measure": measure, "split": split, "band": band,
        "numerator": str(count), "denominator": "900", "value": str(count * 365.25 / 900),
        "lower": "0.1", "upper": "0.9", "verdict": "",
    }  # fmt: skip


def made_up(random: Random) -> tuple[list[Row], list[Row]]:
    """A clinic's year: divided rows and the undivided ones that they add up to."""
    divided: list[Row] = []
    alone = {one: random.choice((0, 0, 1, 2, 3, 5, 8)) for one in (*GROUPS, *NO_GROWTH)}
    together = random.choice((0, 0, 1, 2))  # episodes of two organisms
    divided += [row(RATE, "organism_group", band, count) for band, count in alone.items()]
    divided.append(row(RATE, "organism_group", "polymicrobial", together))
    for group in GROUPS:
        more = random.randint(0, together)
        divided.append(row(BY_GROUP, "organism_group", group, alone[group] + more))
    total = {RATE: sum(alone.values()) + together}
    bare = random.choice((0, 1, 6))  # on days without a catheter, in both splits by catheter
    site_total = {EXIT: random.randint(0, 9), TUNNEL: random.randint(0, 5)}
    for split, bands in BANDS.items():
        own = dealt(random, total[RATE], bands, bare)
        divided += [row(RATE, split, band, count) for band, count in own.items()]
        out, tun = (dealt(random, site_total[site], bands, 0) for site in (EXIT, TUNNEL))
        for band in bands:
            divided += [row(EXIT, split, band, out[band]), row(TUNNEL, split, band, tun[band])]
            divided.append(row(EITHER, split, band, out[band] + tun[band]))
    total |= site_total | {EITHER: sum(site_total.values())}
    return divided, [row(measure, "", "", count) for measure, count in total.items()]


def dealt(random: Random, total: int, bands: tuple[str, ...], bare: int) -> dict[str, int]:
    found = dict.fromkeys(bands, 0)
    held = min(bare, total) if "none_recorded" in bands else 0
    found |= {"none_recorded": held} if "none_recorded" in bands else {}
    free = [band for band in bands if band != "none_recorded"]
    for _ in range(total - held):
        found[random.choice(free)] += 1
    return found


class Attack:
    """What every count can be, given all that is shown."""

    def __init__(self, masked: list[Row], undivided: list[Row]) -> None:
        self.cells = [(one["measure"], one["split"], one["band"]) for one in masked]
        self.shown = [one["numerator"] for one in masked]
        self.totals = {one["measure"]: int(one["numerator"]) for one in undivided}
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self._sums()
        self._sites()
        self._groups()
        self._same_days()

    def _at(self, *cell: str) -> int | None:
        return self.cells.index(cell) if cell in self.cells else None

    def _sums(self) -> None:
        for measure, split in {cell[:2] for cell in self.cells if cell[0] != BY_GROUP}:
            own = {i: 1.0 for i, cell in enumerate(self.cells) if cell[:2] == (measure, split)}
            self.rows.append((own, self.totals[measure], self.totals[measure]))

    def _sites(self) -> None:
        for split, bands in BANDS.items():
            for band in bands:
                out, tun, both = (self._at(one, split, band) for one in (EXIT, TUNNEL, EITHER))
                self.rows.append(({out: 1, tun: 1, both: -1}, 0, np.inf))
                self.rows.append(({both: 1, out: -1}, 0, np.inf))
                self.rows.append(({both: 1, tun: -1}, 0, np.inf))

    def _groups(self) -> None:
        alone, several = (
            {band: self._at(one, "organism_group", band) for band in (*GROUPS, "polymicrobial")}
            for one in (RATE, BY_GROUP)
        )
        for group in GROUPS:
            self.rows.append(({several[group]: 1, alone[group]: -1}, 0, np.inf))
            self.rows.append(
                ({several[group]: 1, alone[group]: -1, alone["polymicrobial"]: -1}, -np.inf, 0)
            )

    def _same_days(self) -> None:
        one, other = (
            self._at(RATE, s, "none_recorded") for s in ("catheter_age", "insertion_method")
        )
        self.rows.append(({one: 1, other: -1}, 0, 0))

    def can_be(self, place: int) -> tuple[int, int]:
        """The least and the most that one hidden cell can be."""
        low = [0 if said == HIDDEN else int(said) for said in self.shown]
        high = [np.inf if said == HIDDEN else int(said) for said in self.shown]
        matrix = np.zeros((len(self.rows), len(self.cells)))
        for index, (own, _, _) in enumerate(self.rows):
            for cell, factor in own.items():
                matrix[index, cell] = factor
        limits = LinearConstraint(
            matrix, [one[1] for one in self.rows], [one[2] for one in self.rows]
        )
        found = []
        for sign in (1.0, -1.0):
            goal = np.zeros(len(self.cells))
            goal[place] = sign
            best = milp(goal, constraints=limits, bounds=Bounds(low, high),
                        integrality=np.ones(len(goal)))  # fmt: skip
            assert best.success, best.message
            found.append(round(sign * best.fun))
        return found[0], found[1]


@pytest.mark.parametrize("seed", range(12))
def test_linear_reasoning_gives_no_small_cell_back(seed: int) -> None:
    divided, undivided = made_up(Random(seed))
    masked = masked_rows(divided, undivided)
    attack = Attack(masked, undivided)

    for place, (was, now) in enumerate(zip(divided, masked, strict=True)):
        if 1 <= int(was["numerator"]) <= 4:
            assert now["numerator"] == HIDDEN
            least, most = attack.can_be(place)
            assert least < most, (attack.cells[place], was["numerator"])


@pytest.mark.parametrize("seed", range(3))
def test_the_attack_does_find_cells_hidden_one_by_one(seed: int) -> None:
    """Without a complementary cell the total gives one back: so the test above can fail."""
    divided, undivided = made_up(Random(seed))
    alone = [
        one | {"numerator": HIDDEN} if 1 <= int(one["numerator"]) <= 4 else one for one in divided
    ]
    attack = Attack(alone, undivided)
    hidden = [i for i, one in enumerate(alone) if one["numerator"] == HIDDEN]

    assert any(least == most for least, most in map(attack.can_be, hidden))


def test_hidden_is_neither_missing_nor_zero() -> None:
    divided = [row(RATE, "modality", "apd", 2), row(RATE, "modality", "capd", 9),
               row(RATE, "modality", "unknown", 0), row(RATE, "modality", "other", 8)]  # fmt: skip
    apd, capd, unknown, other = masked_rows(divided, [row(RATE, "", "", 19)])

    assert (apd["numerator"], apd["value"], apd["lower"]) == (HIDDEN, HIDDEN, HIDDEN)
    assert (unknown["numerator"], unknown["value"]) == ("0", "0.0")
    assert apd["verdict"] == "" and apd["denominator"] == "900"
    assert (other["numerator"], capd["numerator"]) == (HIDDEN, "9")
