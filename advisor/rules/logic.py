"""What a checked tree says about one row: three-valued truth, margin, and the facts it lacks.

A condition is certainly true, certainly false, or neither (None). `and` is true when all are true
and false when any is false; `or` is its dual; `not` swaps. A comparison with a missing side, a
division by zero and a result that is not finite are neither. `x > 5 or x <= 5` with x missing stays
neither.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor.rules.tree import (
    All,
    Among,
    Any,
    Compare,
    Condition,
    Extreme,
    Figure,
    IsKnown,
    Negative,
    Not,
    Number,
    Read,
    names_in,
)
from advisor.rules.values import NONE, Known, Missing, Row, Value, Verdict

RELATIVE_TOLERANCE = 1e-9
"""Two numbers are equal when they differ by at most this part of the larger one."""

_NOT_GIVEN = Missing(NONE, "not given")
Truth = bool | None


def settled(left: float, right: float) -> tuple[float, float]:
    """Both sides of a comparison, made the same float when they are equal within the tolerance.

    The one place where the tolerance is applied; every evaluator compares what this returns.
    """
    if abs(left - right) <= RELATIVE_TOLERANCE * max(abs(left), abs(right)):
        return right, right
    return left, right


def sides(tree: Compare, row: Row) -> tuple[float, float] | None:
    """Both sides of a comparison after the tolerance, or None when one has no value."""
    left = figure(tree.left, row)
    if left is None:
        return None
    right = figure(tree.right, row)
    if right is None:
        return None
    return settled(left, right)


def figure(tree: Figure, row: Row) -> float | None:
    """The value of a number's tree in SI, or None: an input is missing or it is not finite."""
    if isinstance(tree, Read):
        value = row.get(tree.name.written)
        return float(value.value) if isinstance(value, Known) else None
    if isinstance(tree, Number):
        return tree.value
    if isinstance(tree, Negative):
        of = figure(tree.of, row)
        return None if of is None else -of
    if isinstance(tree, Extreme):
        found = [figure(item, row) for item in tree.items]
        numbers = [one for one in found if one is not None]
        if len(numbers) < len(found):
            return None
        return min(numbers) if tree.which == "min" else max(numbers)
    left, right = figure(tree.left, row), figure(tree.right, row)
    if left is None or right is None:
        return None
    return _calculate(tree.op, left, right)


def _calculate(op: str, left: float, right: float) -> float | None:
    if op == "+":
        result = left + right
    elif op == "-":
        result = left - right
    elif op == "*":
        result = left * right
    elif right == 0.0:
        return None
    else:
        result = left / right
    return result if math.isfinite(result) else None


def order(op: str, left: float, right: float) -> bool:
    """The plain comparison of two sides that `settled` has returned."""
    match op:
        case ">":
            return left > right
        case ">=":
            return left >= right
        case "<":
            return left < right
        case "<=":
            return left <= right
        case "==":
            return left == right
    return left != right


def truth(tree: Condition, row: Row) -> Truth:
    """True, False, or None when the row does not decide it."""
    if isinstance(tree, Compare):
        pair = sides(tree, row)
        return None if pair is None else order(tree.op, *pair)
    if isinstance(tree, All):
        undecided = False
        for item in tree.items:
            found = truth(item, row)
            if found is False:
                return False
            undecided = undecided or found is None
        return None if undecided else True
    if isinstance(tree, Any):
        undecided = False
        for item in tree.items:
            found = truth(item, row)
            if found is True:
                return True
            undecided = undecided or found is None
        return None if undecided else False
    if isinstance(tree, Not):
        found = truth(tree.of, row)
        return None if found is None else not found
    value = row.get(tree.name.written, _NOT_GIVEN)
    if isinstance(tree, IsKnown):
        return isinstance(value, Known) and not value.assumed
    if isinstance(value, Missing):
        return None
    if isinstance(tree, Among):
        return value.value in tree.words
    return bool(value.value)


def verdict(applies: Condition | None, when: Condition, row: Row) -> Verdict:
    """The verdict of a rule on a row. An undecided `applies` leaves the check undetermined."""
    if applies is not None:
        wanted = truth(applies, row)
        if wanted is None:
            return Verdict.UNDETERMINED
        if not wanted:
            return Verdict.NOT_APPLICABLE
    found = truth(when, row)
    if found is None:
        return Verdict.UNDETERMINED
    return Verdict.VIOLATED if found else Verdict.SATISFIED


def missing_facts(applies: Condition | None, when: Condition, row: Row) -> frozenset[str]:
    """The smallest set of facts that can decide an undetermined check: first whether it applies."""
    if applies is not None and truth(applies, row) is None:
        return lacking(applies, row)
    return lacking(when, row)


def margin(tree: Condition, row: Row) -> float | None:
    """How far the condition is from its limit: positive when true, negative when false.

    A comparison gives (left - right) / max(|right|, floor), signed toward true; `and` is the least,
    `or` the greatest, `not` the opposite; parts without a number give only a sign (infinite here).
    The floor is the scale of the attribute compared; temperatures on a scale are divided by that
    scale alone. Parts the row does not decide are left out; None when nothing is left.
    """
    if isinstance(tree, Compare):
        return _compare_margin(tree, row)
    if isinstance(tree, Not):
        found = margin(tree.of, row)
        return None if found is None else -found
    if isinstance(tree, All | Any):
        found_all = [margin(item, row) for item in tree.items]
        numbers = [one for one in found_all if one is not None]
        if not numbers:
            return None
        return min(numbers) if isinstance(tree, All) else max(numbers)
    decided = truth(tree, row)
    return None if decided is None else math.copysign(math.inf, 1.0 if decided else -1.0)


def _compare_margin(tree: Compare, row: Row) -> float | None:
    pair = sides(tree, row)
    if pair is None:
        return None
    left, right = pair
    if tree.op in ("==", "!="):
        return math.inf if order(tree.op, left, right) else -math.inf
    above = left - right if tree.op in (">", ">=") else right - left
    return above / (tree.scale if tree.fixed_scale else max(abs(right), tree.scale))


def lacking(tree: Condition, row: Row) -> frozenset[str]:
    """The smallest set of facts that can decide a condition the row does not decide.

    Of an undecided `and` or `or` that is the undecided part with the fewest facts, the first of
    equals; a part that no fact can decide (a division by zero, a part that is not fitted) comes
    last. A comparison needs every missing input.
    """
    return _lacking(tree, row)[1]


def _lacking(tree: Condition, row: Row) -> tuple[bool, frozenset[str]]:
    """(asking cannot decide it, the facts)."""
    if isinstance(tree, Not):
        return _lacking(tree.of, row)
    if isinstance(tree, All | Any):
        options = [_lacking(item, row) for item in tree.items if truth(item, row) is None]
        return min(options, key=lambda one: (not one[1], one[0], len(one[1])), default=(True, NONE))
    gaps = [_gap(row, name.written) for name in names_in(tree)]
    missing = [one for one in gaps if isinstance(one, Missing)]
    facts = NONE.union(*(one.facts for one in missing))
    return not missing or any(not one.facts for one in missing), facts


def _gap(row: Row, written: str) -> Value:
    return row.get(written, _NOT_GIVEN)


def reasons(applies: Condition | None, when: Condition, row: Row) -> tuple[str, ...]:
    """Why a check is undetermined, in words: the reason of each missing name, or of the numbers."""
    tree = applies if applies is not None and truth(applies, row) is None else when
    said: list[str] = []
    for part in _undecided(tree, row):
        gaps = {name.written: _gap(row, name.written) for name in names_in(part)}
        missing = [(name, gap) for name, gap in gaps.items() if isinstance(gap, Missing)]
        if not missing:
            said.append("a division by zero, or a number out of range")
        said += [f"{name}: {gap.reason}" for name, gap in missing if gap.reason]
    return tuple(dict.fromkeys(said))


def _undecided(tree: Condition, row: Row) -> Iterator[Condition]:
    """The smallest conditions in a tree that the row does not decide."""
    if truth(tree, row) is not None:
        return
    if isinstance(tree, Not):
        yield from _undecided(tree.of, row)
    elif isinstance(tree, All | Any):
        for item in tree.items:
            yield from _undecided(item, row)
    else:
        yield tree
