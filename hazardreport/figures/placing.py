"""Places for labels: inside the frame, off each other, as near as can be to what they name."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from hazardreport.figures.pieces import Box, overlap

GAP = 0.5
"""Air between two labels. [mm]"""
EDGE = 0.8
"""Air between a label and the frame. [mm]"""


@dataclass(kw_only=True, slots=True)
class Places:
    """What is taken so far.

    width, height  of the frame [mm]
    labels         boxes that no label may cover
    spots          small boxes that a label should leave free if it can: points, ends of lines
    """

    width: float
    height: float
    labels: list[Box] = field(default_factory=list)
    spots: list[Box] = field(default_factory=list)

    def _cost(self, box: Box, distance: float) -> float:
        grown = (box[0] - GAP, box[1] - GAP, box[2] + GAP, box[3] + GAP)
        on_labels = sum(overlap(grown, other) for other in self.labels)
        on_spots = sum(overlap(grown, other) for other in self.spots)
        return 1e6 * on_labels + 40.0 * on_spots + distance

    def _held(self, x: float, y: float, width: float, height: float) -> tuple[float, float]:
        across = min(width / 2 + EDGE, self.width / 2)
        along = min(height / 2 + EDGE, self.height / 2)
        return min(max(x, across), self.width - across), min(max(y, along), self.height - along)

    def _candidates(
        self, near: tuple[tuple[float, float], ...], width: float, height: float
    ) -> Iterator[tuple[float, float, float]]:
        """Places to try with their distance: those wished for, rings about them, then the whole frame."""
        for order, (x, y) in enumerate(near):
            yield x, y, 0.3 * order
        x, y = near[0]
        for ring in range(1, 7):
            reach = ring * max(height, 2.0)
            for turn in range(16):
                angle = math.tau * turn / 16
                yield x + (reach + width / 2) * math.cos(angle), y + reach * math.sin(angle), 2.0 + reach

    def _everywhere(
        self, near: tuple[float, float], width: float, height: float
    ) -> Iterator[tuple[float, float, float]]:
        across = max(int((self.width - width) / 2.0), 1)
        along = max(int((self.height - height) / 1.5), 1)
        for column in range(across + 1):
            for row in range(along + 1):
                x = width / 2 + (self.width - width) * column / across
                y = height / 2 + (self.height - height) * row / along
                yield x, y, 10.0 + math.hypot(x - near[0], y - near[1])

    def take(self, near: tuple[tuple[float, float], ...], width: float, height: float) -> tuple[float, float]:
        """The centre of a label of that size, the first of `near` being wished for most; it is taken from then on."""

        def best(candidates: Iterator[tuple[float, float, float]]) -> tuple[float, float, float]:
            found = (float("inf"), 0.0, 0.0)
            for wished_x, wished_y, distance in candidates:
                if distance >= found[0]:
                    continue
                x, y = self._held(wished_x, wished_y, width, height)
                moved = distance + math.hypot(x - wished_x, y - wished_y)
                box = (x - width / 2, y - height / 2, x + width / 2, y + height / 2)
                cost = self._cost(box, moved)
                if cost < found[0]:
                    found = (cost, x, y)
            return found

        cost, x, y = best(self._candidates(near, width, height))
        if cost >= 1e3:
            cost, x, y = min((cost, x, y), best(self._everywhere(near[0], width, height)))
        self.labels.append((x - width / 2, y - height / 2, x + width / 2, y + height / 2))
        return x, y
