"""Text made safe to show, against Unicode's own data."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from advisor.report.record.words import broken, drawn, safe, sentence, short

_ISOLATES = "\u2068\u2069"
_KEPT = "\u200d\u200c\ufe0f"


@given(st.text())
def test_nothing_is_left_that_commands(text: str) -> None:
    """Only the isolates put there, the joiners, and no other control or format character."""
    left = [one for one in safe(text) if one not in _ISOLATES + _KEPT]
    assert not [one for one in left if unicodedata.category(one) in ("Cc", "Cf", "Cs", "Zl", "Zp")]


@given(st.text())
def test_isolates_come_in_pairs_around_letters_from_the_right(text: str) -> None:
    depth = 0
    for one in safe(text):
        depth += (one == "\u2068") - (one == "\u2069")
        assert depth in (0, 1)
        if depth == 0:
            assert unicodedata.bidirectional(one) not in ("R", "AL", "AN")
    assert depth == 0


@given(st.text(alphabet=st.characters(min_codepoint=32, max_codepoint=126)))
def test_plain_text_stays(text: str) -> None:
    assert safe(text) == " ".join(text.split())


def test_controls_become_their_codes() -> None:
    assert safe("a\u202eb\x07c") == "a[U+202E]b[U+0007]c"


def test_a_character_that_the_font_lacks_becomes_its_code() -> None:
    assert drawn("a🔋b", {ord("a"), ord("b")}) == "a[U+1F50B]b"


@given(st.text(alphabet="ab -\u200d", max_size=200))
def test_long_words_may_be_broken_and_nothing_is_lost(text: str) -> None:
    made = broken(text)
    assert made.replace("\u200b", "") == text
    pieces = made.replace("\u200b", " ").replace("-", " ").split()
    assert all(len(one) <= 30 for one in pieces)


def test_sentences_and_short_texts() -> None:
    assert sentence("so it is") == "So it is."
    assert sentence("") == ""
    assert short("abcdef", 4) == "abc…"
