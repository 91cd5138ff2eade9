"""Every formula: arrays equal numbers one by one, an unknown stays unknown, nothing raises."""

from __future__ import annotations

import ast
import inspect
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor import physics
from advisor.physics import (
    ampacity,
    axles,
    braking,
    cells,
    charging,
    choose,
    conductors,
    curves,
    gearing,
    heat,
    isolation,
    motor_heat,
    motors,
    precharge,
    protection,
    road,
    storage,
    withstand,
)

SUBJECTS = (
    ampacity, axles, braking, cells, charging, conductors, curves, gearing, heat, isolation,
    motor_heat, motors, precharge, protection, road, storage, withstand,
)  # fmt: skip
TABLES = {  # arguments that are a whole table and do not broadcast
    "points": np.linspace(0.0, 1.0, 5),
    "voltages": np.array([2.0, 3.0, 3.2, 3.3, 3.6]),
    "currents": np.array([0.1, 0.3, 0.6, 2.0, 30.0]),
    "times": np.array([1000.0, 90.0, 4.0, 0.3, 0.01]),
    "source_currents": np.array([0.2, 0.5, 3.0, 60.0]),
    "source_times": np.array([2000.0, 100.0, 2.0, 0.02]),
    "ratings": np.array([0.1, 0.3, 0.5, 0.9, 20.0, 60.0]),
}
# K: no metal is at half a kelvin
IN_RANGE = {
    "initial": 300.0,
    "final": 400.0,
    "ambient": 310.0,
    "insulation": 363.0,
    "surface": 350.0,
}
FORMULAS = [
    pytest.param(getattr(subject, name), id=f"{subject.__name__.rsplit('.')[-1]}.{name}")
    for subject in SUBJECTS
    for name in subject.__all__
]
VALUES = st.one_of(
    st.floats(-100, 100), st.sampled_from([0.0, 1.0, 17.9, 18.0, 50.0, 60.0, 1e200, -1e200])
)


def _parameters(formula: Callable[..., Any]) -> list[str]:
    return list(inspect.signature(formula).parameters)


def _arguments(formula: Callable[..., Any], values: list[Any]) -> dict[str, Any]:
    names = _parameters(formula)
    return {name: TABLES.get(name, value) for name, value in zip(names, values, strict=False)}


def _same(one: Any, other: Any) -> None:
    """Equal, but for the last digit of `exp`, `log` and `pow`, which `math` and numpy round apart.

    Where large terms cancel that digit grows: 3e-11 was seen at 1e195 volts.
    """
    np.testing.assert_allclose(one, other, rtol=1e-9, equal_nan=True)


@pytest.mark.parametrize("formula", FORMULAS)
@settings(max_examples=30, deadline=None)
@given(data=st.data())
def test_arrays_equal_numbers_one_by_one(formula: Callable[..., Any], data: st.DataObject) -> None:
    width = len(_parameters(formula))
    rows = data.draw(st.lists(st.lists(VALUES, min_size=width, max_size=width), min_size=1))
    columns = [np.array(column) for column in zip(*rows, strict=True)]
    with np.errstate(all="ignore"):  # a product beyond the largest number is not the subject here
        together = formula(**_arguments(formula, columns))
        single = [formula(**_arguments(formula, row)) for row in rows]
    assert np.shape(together) == (len(rows),)
    assert all(type(one) is float for one in single)
    _same(together, single)


@pytest.mark.parametrize("formula", FORMULAS)
def test_arguments_broadcast(formula: Callable[..., Any]) -> None:
    names = [name for name in _parameters(formula) if name not in TABLES]
    for spread in names:
        values = _distinct(formula) | {spread: np.array([[0.2], [0.4]])}
        assert np.shape(formula(**values)) == (2, 1)


def _distinct(formula: Callable[..., Any]) -> dict[str, Any]:
    """Arguments for which every formula is finite: 0.5, 0.55, 0.6 ..., temperatures of a room."""
    names = _parameters(formula)
    known = TABLES | IN_RANGE
    return {name: known.get(name, 0.5 + 0.05 * n) for n, name in enumerate(names)}


@pytest.mark.parametrize("formula", FORMULAS)
def test_an_unknown_argument_makes_the_result_unknown(formula: Callable[..., Any]) -> None:
    names = [name for name in _parameters(formula) if name not in TABLES]
    for unknown in names:
        values = _distinct(formula)
        assert math.isfinite(formula(**values))
        assert math.isnan(formula(**values | {unknown: math.nan})), unknown
        mixed = formula(**values | {unknown: np.array([0.5, math.nan])})
        assert math.isnan(mixed[1])


def test_every_formula_is_documented_with_units_and_exported() -> None:
    for subject in SUBJECTS:
        public = {
            name
            for name, one in vars(subject).items()
            if inspect.isfunction(one)
            and one.__module__ == subject.__name__
            and not name.startswith("_")
        }
        assert public == set(subject.__all__)
        for name in public:
            assert inspect.getdoc(getattr(subject, name)), name


# A network is solved and a trip is driven step by step; neither is a formula.
SOLVER = (
    "circuit.py",
    "course.py",
    "faults.py",
    "islands.py",
    "network.py",
    "stepping.py",
    "trip.py",
    "windows.py",
)
REFUSED_CALLS = {"where", "fmin", "fmax", "clip", "nan_to_num", "nanmin", "nanmax", "select"}
REFUSED_NAMES = {"min", "max", "abs", "round", "sorted", "bool", "any", "all"}
REFUSED_NODES = (
    ast.If, ast.IfExp, ast.BoolOp, ast.Compare, ast.While, ast.Assert, ast.Match, ast.Try,
)  # fmt: skip


def test_formulas_choose_divide_and_bound_by_the_shared_functions_alone() -> None:
    wrong = []
    folder = Path(physics.__file__).parent
    for path in sorted(folder.glob("*.py")):
        if path.name in ("choose.py", *SOLVER):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            line = f"{path.name}:{getattr(node, 'lineno', 0)}"
            if isinstance(node, ast.Attribute) and node.attr in REFUSED_CALLS:
                wrong.append(f"{line}: use choose, least, most or bounded for {node.attr}")
            if isinstance(node, ast.Name) and node.id in REFUSED_NAMES:
                wrong.append(f"{line}: {node.id} loses a NaN")
            if isinstance(node, REFUSED_NODES):
                wrong.append(f"{line}: no branch on the truth of a value")
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div | ast.Mod):
                constants = {ast.Constant, ast.Name, ast.BinOp}
                known = isinstance(node.right, ast.Constant) or (
                    type(node.right) in constants
                    and all(
                        one.id.startswith("_")
                        for one in ast.walk(node.right)
                        if isinstance(one, ast.Name)
                    )
                )
                if not known:
                    wrong.append(f"{line}: use divide")
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow | ast.FloorDiv):
                wrong.append(f"{line}: use power, or multiply")
    assert wrong == []


def test_physics_imports_nothing_of_the_rest() -> None:
    folder = Path(physics.__file__).parent
    standard = (
        "bisect",
        "collections.abc",
        "functools",
        "itertools",
        "math",
        "operator",
        "sys",
        "typing",
    )
    allowed = ("advisor.physics", "__future__", *standard)
    solver = ("numpy", "numpy.typing", "dataclasses")
    for path in folder.glob("*.py"):
        extra = solver if path.name in SOLVER else ()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                assert all(alias.name in (*allowed, *extra) for alias in node.names), path.name
            if isinstance(node, ast.ImportFrom):
                assert (node.module or "").startswith((*allowed, *extra)), path.name


def test_public_names_are_pinned() -> None:
    assert {subject.__name__.rsplit(".")[-1]: subject.__all__ for subject in (choose, storage)} == {
        "choose": [
            "Numbers", "bounded", "choose", "divide", "exponential", "exponential_rest",
            "interpolated", "least", "logarithm", "most", "next_above", "power",
        ],
        "storage": ["charge_drained", "drain_of_power", "time_to_empty"],
    }  # fmt: skip
