"""The paper a drawing needs: letters of 1.8 mm (ISO 3098-1) on sheets of ISO 216."""

from __future__ import annotations

import pytest

from advisor.report.diagram.paper import LEAST_LETTER, advice, letter_on, paper_for


def test_letters_of_a_square_drawing_by_hand() -> None:
    """1000 x 1000 units on A4: 190 mm over 1000 units, letters of 11 x 0.72 units: 1.50 mm."""
    assert letter_on("A4", 1000, 1000) == pytest.approx(190 / 1000 * 11 * 0.72)
    assert paper_for(1000, 1000) == "A3"  # 277 / 1000 x 7.92 = 2.19 mm


def test_a_wide_drawing_is_laid_across() -> None:
    assert letter_on("A4", 277, 190) == pytest.approx(11 * 0.72)
    assert letter_on("A4", 277, 190) == letter_on("A4", 190, 277)


@pytest.mark.parametrize("size", [400, 800, 1500, 3000])
def test_the_paper_named_is_the_smallest_that_does(size: int) -> None:
    papers = ["A4", "A3", "A2", "A1", "A0"]
    at = papers.index(paper_for(size, size))
    assert letter_on(papers[at], size, size) >= LEAST_LETTER
    assert all(letter_on(one, size, size) < LEAST_LETTER for one in papers[:at])


def test_the_advice_says_how_small_letters_get() -> None:
    assert advice(500, 500) == "Print on A4 or larger."
    assert advice(1530, 1575) == "Print on A2; on A4 the letters are only 1.0 mm high."
