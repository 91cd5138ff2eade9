"""The problems of one sheet, as they are found."""

from __future__ import annotations

from advisor.problems import Place, Problem, ProblemsFoundError
from advisor.yaml_text import Mapping, Node, Scalar

MAX_PROBLEMS = 200


class Notes:
    """Collects problems of one file.

    When there are MAX_PROBLEMS the reading ends: nobody mends more at a time, and a hostile file
    could otherwise cost minutes of looking for similar words.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def add(self, place: Place, path: str, problem: str, advice: str = "") -> None:
        """Note one problem. Raises ProblemsFoundError when there are too many."""
        self.problems.append(Problem(self.file, place, path, problem, advice))
        if len(self.problems) >= MAX_PROBLEMS:
            end = Problem(
                self.file,
                Place(),
                "",
                f"{MAX_PROBLEMS} problems found, the rest was not read",
                "mend these first",
            )
            raise ProblemsFoundError([*self.problems, end])

    def has(self, start: str, ends: tuple[str, ...]) -> bool:
        """True when a problem was noted whose path starts so and goes on to one of these ends."""
        return any(
            one.path == start if not end else one.path.startswith(start) and one.path.endswith(end)
            for one in self.problems
            for end in ends
        )

    def under(self, path: str) -> bool:
        """True when a problem was noted at a path or below it."""
        return any(one.path.startswith(path) for one in self.problems)

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
