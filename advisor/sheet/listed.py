"""Questions to the parts list of a sheet: who says what, and which device stands before whom."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.sheet.build import Instance


class Listed:
    """The parts by subject, in the order of the sheet.

    `own` are the devices that stand in the lead of one part. Where `protects` does not say for
    which, they are given out in the order of the sheet.
    """

    def __init__(self, instances: Iterable[Instance]) -> None:
        self.of: dict[str, list[Instance]] = {}
        for one in instances:
            self.of.setdefault(one.subject, []).append(one)
        self.own: dict[str, list[Instance]] = {}

    def bars(self, pole: str, circuit: str) -> list[Instance]:
        """Bus bars of a pole; one that does not say its circuit is taken for traction."""
        found = self.where("bus_bar", "circuit", circuit, "traction")
        return [one for one in found if said(one, "pole") == pole]

    def all(self, *subjects: str) -> list[Instance]:
        """Every part of some subjects."""
        return [one for subject in subjects for one in self.of.get(subject, [])]

    def where(self, subject: str, name: str, word: str, otherwise: str = "") -> list[Instance]:
        """Parts of a subject that say a word; `otherwise` is what silence stands for."""
        return [one for one in self.all(subject) if said(one, name, otherwise) == word]

    def devices(self, role: str, among: Sequence[Instance] = ()) -> list[Instance]:
        """Devices of a role, but none that protects a part which is not `among` these."""
        others = {
            one.id
            for subject in {part.subject for part in among}
            for one in self.all(subject)
            if one not in among
        }
        found = self.all("fuse", "breaker")
        return [
            one
            for one in found
            if said(one, "role") == role and said(one, "protects") not in others
        ]

    def give(self, role: str, wanted: Sequence[Instance]) -> None:
        """Give each part the devices that protect it, else the next free one of the role."""
        devices = self.devices(role)
        free = [one for one in devices if "protects" not in one.values]
        for part in wanted:
            own = [one for one in devices if said(one, "protects") == part.id]
            if not own and free:
                own = [free.pop(0)]
            if own:
                self.own[part.id] = own


def marked(listed: Iterable[Instance], name: str, word: str) -> list[Instance]:
    """The parts that say a word; if none does, the only one that says nothing."""
    parts = list(listed)
    unsaid = [one for one in parts if name not in one.values]
    found = [one for one in parts if said(one, name) == word]
    return found or (unsaid if len(unsaid) == 1 else [])


def said(one: Instance, name: str, otherwise: str = "") -> float | str | bool:
    """What the sheet says of a part; `otherwise` where it does not."""
    written = one.values.get(name)
    return otherwise if written is None else written.value
