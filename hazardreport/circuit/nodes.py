"""Nodes that belong together."""

from collections.abc import Iterable


class Clusters:
    """Sets of nodes joined by pairs; each is named by its first node in the alphabet."""

    __slots__ = ("_name",)

    def __init__(self, pairs: Iterable[tuple[str, str]]) -> None:
        self._name: dict[str, str] = {}
        for first, second in pairs:
            here, there = self.of(first), self.of(second)
            low, high = min(here, there), max(here, there)
            self._name[high] = low
            self._name.setdefault(low, low)

    def of(self, node: str) -> str:
        """The name of the cluster that a node is in; its own where it stands alone."""
        while (name := self._name.get(node, node)) != node:
            node = name
        return node
