"""By which rules, names and tables a report was made: versions and fingerprints.

Two reports with the same fingerprints, sheet and program version say the same.
"""

from __future__ import annotations

import hashlib
import textwrap
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

from advisor import __version__, tables
from advisor.rules.rule import Rule, RuleBook
from advisor.vocabulary import VOCABULARY


@cache
def vocabulary_fingerprint() -> str:
    """Of every attribute: name, kind, unit, words, bounds, what is worse, tolerance."""
    return _digest(
        f"{path} {one.kind} {one.unit} {one.choices} {one.at_least} {one.at_most} {one.worse} "
        f"{one.tolerance} {one.scale} {one.programmable} {one.settable} {one.meaning}"
        for path, one in VOCABULARY.attributes.items()
    )


@cache
def tables_fingerprint() -> str:
    """Of every table of published values."""
    folder = Path(tables.__file__).parent
    return _digest(
        f"{path.name} {hashlib.sha256(path.read_bytes()).hexdigest()}"
        for path in sorted(folder.glob("*.csv"))
    )


def book_fingerprints(book: RuleBook) -> tuple[str, str]:
    """Of all rules: what is judged, and what is said."""
    rules = sorted(book.rules, key=lambda one: one.name)
    return (
        _digest(f"{one.name} {one.meaning}" for one in rules),
        _digest(f"{one.name} {one.wording}" for one in rules),
    )


def basis_sentences(book: RuleBook) -> list[str]:
    """The lines for the foot of a report in text."""
    shipped = ", ".join(f"{one.name} {one.version}" for one in book.rulesets if not one.own)
    own = ", ".join(f"{one.name} {one.version}" for one in book.rulesets if one.own)
    meaning, wording = book_fingerprints(book)
    lines = [f"Rulesets: {shipped}."]
    if own:
        lines.append(f"Own rulesets, added by --rules: {own}.")
    if book.accepted:
        number = len(book.accepted)
        lines.append(f"Own rulesets accept {number} finding{'s' if number > 1 else ''} by name.")
    lines.append(
        f"Fingerprints: rules {book.fingerprint} (meaning {meaning}, wording {wording}), "
        f"vocabulary {vocabulary_fingerprint()}, tables {tables_fingerprint()}."
    )
    return lines


def basis_data(book: RuleBook) -> dict[str, Any]:
    """The same as data."""
    meaning, wording = book_fingerprints(book)
    return {
        "program": __version__,
        "rulesets": rulesets_data(book),
        "rules": book.fingerprint,
        "meaning": meaning,
        "wording": wording,
        "vocabulary": vocabulary_fingerprint(),
        "tables": tables_fingerprint(),
    }


def rulesets_data(book: RuleBook) -> list[dict[str, Any]]:
    """Name and version of each ruleset, and whether a shop added it."""
    return [{"name": one.name, "version": one.version, "own": one.own} for one in book.rulesets]


def rules_data(rules: Iterable[Rule]) -> list[dict[str, str]]:
    """The two fingerprints of each rule."""
    return [
        {"rule": one.name, "ruleset": one.ruleset, "meaning": one.meaning, "wording": one.wording}
        for one in rules
    ]


def with_basis(text: str, book: RuleBook, width: int) -> str:
    """A text with the lines about its rules at its foot."""
    lines = [*basis_sentences(book), f"Program {__version__}."]
    foot = [part for line in lines for part in textwrap.wrap(line, width, break_on_hyphens=False)]
    return text.rstrip("\n") + "\n\n" + "\n".join(foot) + "\n"


def _digest(lines: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:12]
