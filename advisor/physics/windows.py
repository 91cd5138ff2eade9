"""Measures of values that hold during steps: rolling root mean square, time above a limit."""

from __future__ import annotations

import numpy as np

from advisor.physics.course import Floats

__all__ = ["rolling_rms", "time_above"]


def rolling_rms(values: Floats, time: Floats, window: float) -> Floats:
    """Largest root mean square over any window, of values that hold during steps.

    values (steps x vehicles); time, s, at the end of each step; window in s. Shorter runs count as
    if the vehicle stood before. Source: definition.
    """
    steps = np.diff(time, axis=0, prepend=0.0)
    total = np.concatenate([np.zeros((1, values.shape[1])), np.cumsum(values**2 * steps, axis=0)])
    clock = np.concatenate([np.zeros((1, values.shape[1])), time])
    found = np.zeros(values.shape[1])
    for n in range(values.shape[1]):
        before = np.interp(clock[:, n] - window, clock[:, n], total[:, n], left=0.0)
        found[n] = np.sqrt(np.max(total[:, n] - before) / window)
    return found


def time_above(values: Floats, time: Floats, limit: float) -> Floats:
    """Longest unbroken time, s, for which values stay above a limit."""
    steps = np.diff(time, axis=0, prepend=0.0)
    above = values > limit
    total = np.cumsum(np.where(above, steps, 0.0), axis=0)
    begun = np.maximum.accumulate(np.where(above, 0.0, total), axis=0)
    return np.asarray(np.max(total - begun, axis=0, initial=0.0))
