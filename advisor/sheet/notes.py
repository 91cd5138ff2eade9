"""The problems of one sheet, as they are found."""

from __future__ import annotations

from advisor.problems import Place, Problem
from advisor.yaml_text import Mapping, Node, Scalar


class Notes:
    """Collects problems of one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def add(self, place: Place, path: str, problem: str, advice: str = "") -> None:
        """Note one problem."""
        self.problems.append(Problem(self.file, place, path, problem, advice))

    def entries(self, node: Node | None, path: str, what: str) -> list[tuple[str, Node]]:
        """Keys and values of a node that should be a mapping; notes it when it is not."""
        if node is None or (isinstance(node, Scalar) and node.text.strip() in ("none", "unknown")):
            return []
        if not isinstance(node, Mapping):
            self.add(node.place, path, f"{what} are expected here", "write keys and values below")
            return []
        return list(node.entries.items())

    @staticmethod
    def key_place(node: Node | None, key: str) -> Place:
        """Where a key stands."""
        return node.keys[key] if isinstance(node, Mapping) else Place()
