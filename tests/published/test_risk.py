"""The risk matrix and signal words against MIL-STD-882E and ANSI Z535.4."""

from __future__ import annotations

import pytest

from advisor.tables.reader import table

# MIL-STD-882E (2012) Table III, row by row: catastrophic, critical, marginal, negligible
MATRIX = {
    "frequent": "High High Serious Medium",
    "probable": "High High Serious Medium",
    "occasional": "High Serious Medium Low",
    "remote": "Serious Medium Medium Low",
    "improbable": "Medium Medium Medium Low",
    "eliminated": "Eliminated Eliminated Eliminated Eliminated",
}
SEVERITIES = ("catastrophic", "critical", "marginal", "negligible")


@pytest.mark.parametrize("probability", MATRIX)
@pytest.mark.parametrize("severity", SEVERITIES)
def test_every_cell_of_the_matrix(probability: str, severity: str) -> None:
    entry = table("risk-matrix").value(probability, severity)
    assert entry is not None
    printed = MATRIX[probability].split()[SEVERITIES.index(severity)]
    assert entry.value == printed.lower()


def test_improbable_and_marginal_is_medium() -> None:
    """One public copy prints Low; three others and the standard's own text agree on Medium."""
    entry = table("risk-matrix").value("improbable", "marginal")
    assert entry is not None
    assert entry.value == "medium"


@pytest.mark.parametrize(
    ("word", "injury", "likelihood", "panel"),
    [
        ("danger", "death-or-serious", "will", "red"),
        ("warning", "death-or-serious", "could", "orange"),
        ("caution", "minor-or-moderate", "could", "yellow"),
        ("notice", "none", "none", "blue"),
    ],
)
def test_signal_words(word: str, injury: str, likelihood: str, panel: str) -> None:
    """ANSI Z535.4-2007, as quoted by a label maker."""
    found = table("signal-words")
    entries = [found.value(word, column) for column in ("injury", "likelihood", "panel")]
    assert [entry.value for entry in entries if entry] == [injury, likelihood, panel]
