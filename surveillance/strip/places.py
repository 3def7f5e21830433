"""Where marks and their labels may stand, so that near ones stay apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from surveillance.drawing import text_width

_SPACE = 5  # between a mark and its label


@dataclass(frozen=True)
class Label:
    """A piece of text beside or above a mark."""

    x: float
    said: str
    anchor: str


def spread(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """The places, in their order, moved as little as keeps them `gap` apart within low..high.

    Least squares by pooling neighbours: marks that crowd share the move to both sides.
    """
    if len(places) > 1:
        gap = min(gap, (high - low) / (len(places) - 1))
    pools: list[tuple[float, int]] = []
    for index, place in enumerate(places):
        pools.append((place - index * gap, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (mean, many), (last, more) = pools[-2:]
            pools[-2:] = [((mean * many + last * more) / (many + more), many + more)]
    flat = [mean for mean, many in pools for _ in range(many)]
    top = high - gap * (len(places) - 1)
    return [min(max(mean, low), top) + index * gap for index, mean in enumerate(flat)]


@dataclass
class _Row:
    """Labels placed so far, how far the row is taken, and the label that another may join."""

    placed: list[Label]
    taken: float
    size: float
    joinable: int = -1  # number of the mark whose label stands at its left
    room: float = 0  # where that label may begin

    def right(self, x: float, said: str, edge: float) -> bool:
        end = x + text_width(said, self.size)
        if end > edge:
            return False
        self.placed.append(Label(x, said, "start"))
        self.taken = end
        return True

    def left(self, index: int, x: float, said: str) -> bool:
        if x - text_width(said, self.size) < self.taken:
            return False
        self.placed.append(Label(x, said, "end"))
        self.joinable, self.room = index, self.taken
        return True

    def join(self, index: int, said: str) -> None:
        """Two marks that stand close share the label at the left of the first."""
        if self.joinable != index - 1 or index == 0:
            return
        last = self.placed[-1]
        both = f"{last.said}, then {said}"
        if last.x - text_width(both, self.size) >= self.room:
            self.placed[-1] = Label(last.x, both, "end")


def beside(
    marks: Sequence[float], told: Sequence[str], half: float, low: float, high: float, size: float
) -> list[Label]:
    """A label right of its mark where there is room, else left, else joined or left out."""
    row, away = _Row([], low, size), half + _SPACE
    edges = [*(x - away for x in marks[1:]), high]
    for index, (x, said, edge) in enumerate(zip(marks, told, edges, strict=False)):
        if said and not row.right(x + away, said, edge) and not row.left(index, x - away, said):
            row.join(index, said)
        row.taken = max(row.taken, x + half)
    return row.placed


def above(
    marks: Sequence[float], told: Sequence[str], low: float, high: float, size: float
) -> list[Label]:
    """A label over the middle of each mark; one that would touch the label before stays away."""
    placed: list[Label] = []
    taken = low - 1
    for x, said in zip(marks, told, strict=True):
        half = text_width(said, size) / 2
        middle = min(max(x, low + half), high - half)
        if said and middle - half > taken:
            placed.append(Label(middle, said, "middle"))
            taken = middle + half + 6
    return placed
