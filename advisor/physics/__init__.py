"""Pure formulas, a file per subject.

Every function takes numbers or numpy arrays that broadcast, in SI units, and gives SI units back: a
float for numbers, an array as soon as one argument is one. A missing number is NaN and makes the
result NaN. No formula raises: outside its range the result is NaN or infinite. The network solver
(`network.py`) is no formula: it branches, needs numpy, and refuses what is no network.
"""
