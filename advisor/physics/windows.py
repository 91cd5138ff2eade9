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
    longest = np.zeros(values.shape[1])
    running = np.zeros(values.shape[1])
    for k in range(len(values)):
        running = np.where(values[k] > limit, running + steps[k], 0.0)
        longest = np.maximum(longest, running)
    return longest
