"""Which value was asked for while which other one was found."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from advisor.facts.origins import Key

T = TypeVar("T")


class Links:
    """Notes what each value asked for, looked for in vain as well."""

    def __init__(self) -> None:
        self._needs: dict[Key, set[Key]] = {}
        self._outside: set[Key] = set()
        self._now = self._outside
        self._readers: dict[Key, list[Key]] | None = None

    @property
    def at_top(self) -> bool:
        """No value is being sought."""
        return self._now is self._outside

    def asked(self, key: Key) -> None:
        """A value is asked for by the one that is being sought."""
        self._now.add(key)

    def enter(self, key: Key) -> set[Key]:
        """A value is sought from here on; gives what `leave` wants when it is found."""
        outer = self._now
        self._now = self._needs[key] = set(self._needs.get(key, ()))
        self._readers = None
        return outer

    def leave(self, outer: set[Key]) -> None:
        """The value is found."""
        self._now = outer

    def note_under(self, key: Key, noted: set[Key]) -> None:
        """Add a value and all that it asked for, at any depth, where that is not yet noted."""
        waiting = [key]
        noted.add(key)
        while waiting:
            new = self._needs.get(waiting.pop(), set()) - noted
            noted |= new
            waiting += new

    def asked_for(self, keys: Iterable[Key]) -> set[Key]:
        """What some values asked for themselves."""
        return set().union(*(self._needs.get(key, ()) for key in keys))

    def resting_on(self, keys: Iterable[Key]) -> frozenset[Key]:
        """Some values, and all that asked for one of them, at any depth."""
        if self._readers is None:
            self._readers = {}
            for key, needs in self._needs.items():
                for one in needs:
                    self._readers.setdefault(one, []).append(key)
        found = set(keys)
        waiting = list(found)
        while waiting:
            for one in self._readers.get(waiting.pop(), ()):
                if one not in found:
                    found.add(one)
                    waiting.append(one)
        return frozenset(found)

    def without(self, keys: frozenset[Key]) -> Links:
        """The same notes for other facts, but those of some values."""
        found = Links()
        found._needs = without(self._needs, keys)
        return found


def without(values: Mapping[Key, T], keys: Iterable[Key]) -> dict[Key, T]:
    """The same values, but some."""
    found = dict(values)
    for key in keys:
        found.pop(key, None)
    return found


__all__ = ["Links", "without"]
