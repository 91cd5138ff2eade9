"""Facts that a trip cannot do without, and what of them is missing."""

from __future__ import annotations

from advisor.facts import Facts
from advisor.wiring.found import Found, read


class Needs:
    """Reads facts that a trip cannot do without; keeps what is missing."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.missing: list[Found] = []

    def __call__(self, identity: str, name: str) -> Found:
        if not identity:
            return Found(0.0)
        found = read(self.facts, identity, name)
        if not found.known or found.value <= 0:
            missing = found.missing or frozenset({f"{identity}.{name}"})
            self.missing.append(Found(0.0, missing=missing))
        return found

    def only(self, subject: str) -> str:
        """The one part of a kind; two drives are not simulated."""
        listed = self.facts.instances(subject)
        if len(listed) != 1:
            key = f"{subject}.present"
            self.missing.append(Found(0.0, missing=frozenset() if listed else frozenset({key})))
            return ""
        return listed[0]


__all__ = ["Needs"]
