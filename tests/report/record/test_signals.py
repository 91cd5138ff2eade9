"""Signal words and colours against what they cite, and contrast against WCAG 2.1."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.report.record import page as pages
from advisor.report.record.signals import signals

_STYLE = Path(pages.__file__).parent / "templates" / "record.css"


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.1, definition of relative luminance."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.03928 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio. Source: WCAG 2.1, definition of contrast ratio."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_ends_that_the_standard_states() -> None:
    """WCAG 2.1: contrast ratios range from 1 to 21."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == 1


def hue(colour: str) -> str:
    red, green, blue = (int(colour[n : n + 2], 16) for n in (1, 3, 5))
    if max(red, green, blue) < 20:
        return "black"
    if min(red, green, blue) > 235:
        return "white"
    if blue > red:
        return "blue"
    return "red" if green < red / 3 else "orange" if green < red * 0.7 else "yellow"


@pytest.mark.parametrize(
    ("word", "panel", "lettering", "symbol"),
    [
        # ANSI Z535.4, colours of the signal word panel; the safety alert symbol is not used with
        # NOTICE, because no injury is meant. Lettering of the middle two from memory.
        ("DANGER", "red", "white", True),
        ("WARNING", "orange", "black", True),
        ("CAUTION", "yellow", "black", True),
        ("NOTICE", "blue", "white", False),
    ],
)
def test_panels_look_as_the_standard_says(
    word: str, panel: str, lettering: str, symbol: bool
) -> None:
    (one,) = [each for each in signals() if each.word == word]
    assert (hue(one.panel), hue(one.lettering), bool(one.symbol)) == (panel, lettering, symbol)
    assert contrast(one.panel, one.lettering) >= 4.5


def colours(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", block))


def test_every_ink_stands_out_in_light_and_dark() -> None:
    """WCAG 2.1: 1.4.3 asks 4.5 to 1 of text, 1.4.11 asks 3 to 1 of what a chart is made of."""
    style = _STYLE.read_text(encoding="utf-8")
    light, dark = style.split("@media screen and (prefers-color-scheme: dark)")
    for scheme in (colours(light), colours(dark.split("* {")[0])):
        for name in ("ink", "soft", "link", "ready", "conditions", "not-ready"):
            assert contrast(scheme[name], scheme["ground"]) >= 4.5, name
            assert contrast(scheme[name], scheme["raised"]) >= 4.5, name
        for name in ("chart-ink", "chart-soft"):
            assert contrast(scheme[name], scheme["ground"]) >= 4.5, name
        assert contrast(scheme["chart-ink"], scheme["chart-band"]) >= 4.5
        assert contrast(scheme["chart-over"], scheme["ground"]) >= 3
