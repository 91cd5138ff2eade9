"""Pure formulas, a file per subject.

Every function takes numbers or numpy arrays that broadcast, in SI units, and gives SI units back: a
float for numbers, an array as soon as one argument is one. A missing number is NaN and makes the
result NaN. Nothing here raises: outside the range of a formula the result is NaN or infinite.
"""
