"""The order of rules: a conclusion is settled before it is read."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.rules.rule import Rule

MAX_LAYERS = 4
_FOLLOWED = 50
"""Rules followed in one chain; a longer one has too many layers, whether or not it closes."""


def layers_of(rules: Iterable[Rule]) -> dict[str, int]:
    """The layer of each rule by name, from 0.

    Raises LookupError(rule, problem, advice) for a circle and for more than four layers.
    """
    everything = list(rules)
    concluded_by: dict[str, list[Rule]] = {}
    for rule in everything:
        for path in rule.concludes_paths:
            concluded_by.setdefault(path, []).append(rule)
    found: dict[str, int] = {}
    open_rules: list[str] = []

    def layer(rule: Rule) -> int:
        known = found.get(rule.name)
        if known is not None:
            return known
        if rule.name in open_rules:
            circle = [*open_rules[open_rules.index(rule.name) :], rule.name]
            raise LookupError(
                rule, f"rules read each other in a circle: {' -> '.join(circle)}", "break it"
            )
        if len(open_rules) >= _FOLLOWED:
            raise _too_deep(rule)
        open_rules.append(rule.name)
        below = [layer(other) for path in rule.concluded_paths for other in concluded_by[path]]
        open_rules.pop()
        number = 1 + max(below, default=-1)
        if number >= MAX_LAYERS:
            raise _too_deep(rule)
        found[rule.name] = number
        return number

    for rule in everything:
        layer(rule)
    return found


def _too_deep(rule: Rule) -> LookupError:
    return LookupError(
        rule,
        f"conclusions stand more than {MAX_LAYERS} layers deep",
        "read an earlier conclusion",
    )
