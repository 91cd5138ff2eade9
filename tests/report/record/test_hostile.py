"""Text of a sheet is shown as text: never run, never lost, and the layout holds."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from advisor.handoff.embedded import read_evidence
from advisor.report.letters import coded
from advisor.report.record import labels_html, labels_pdf, record_html, record_pdf
from advisor.report.record.words import safe
from tests.report.record.browser import Browser
from tests.report.record.hostile import BIDI, ODD, RAN, TEXTS, hostile_sheet
from tests.report.record.making import from_text
from tests.report.record.reading import text_of

TURNS = (0, 4, 9)
"""Where the texts begin, so that each stands in several fields, and three of them in the title."""


def _turned(turn: int) -> tuple[str, ...]:
    return TEXTS[turn:] + TEXTS[:turn]


@pytest.mark.parametrize("texts", [*map(_turned, TURNS), ODD], ids=[*map(str, TURNS), "odd"])
def test_it_is_shown_and_not_run(browser: Browser, tmp_path: Path, texts: tuple[str, ...]) -> None:
    review = from_text(tmp_path, hostile_sheet(texts))
    page = record_html(review, "us")
    record, labels = tmp_path / "record.html", tmp_path / "labels.html"
    record.write_text(page, encoding="utf-8")
    labels.write_text(labels_html(review, "us"), encoding="utf-8")
    for file in (record, labels):
        for width in (320, 1280):
            browser.open(file, width)
            assert browser.too_wide() <= 0
            assert browser.run(f"return window.{RAN}") is None
            assert browser.fetched() == [file.as_uri()]
            assert browser.log("browser") == []
            assert _shown(texts[0]) in _text_of(browser, "h1")
    browser.open(record)
    scripts = browser.run("return [...document.scripts].map(one => one.type)")
    assert scripts == ["application/json"]
    body = _text_of(browser, "body")
    assert [one for one in texts if _shown(one) not in body] == []
    assert read_evidence(page)["sheet"]["title"] == review.build.title


def _text_of(browser: Browser, selector: str) -> str:
    """All text of an element; the isolates around letters from the right are no text."""
    text = browser.run("return document.querySelector(arguments[0]).textContent", selector)
    return text.replace("\u2068", "").replace("\u2069", "")


def _shown(text: str) -> str:
    """How a text is shown: on one line, controls by their code."""
    return coded(" ".join(text.split()))


@pytest.mark.parametrize("turn", TURNS)
def test_it_is_typeset_as_text(tmp_path: Path, turn: int) -> None:
    review = from_text(tmp_path, hostile_sheet(_turned(turn)))
    if TEXTS[turn].isascii():
        assert _bare(TEXTS[turn]) in _bare(text_of(labels_pdf(review, "us")))
    shown = _bare(text_of(record_pdf(review, "us")))
    plain = [one for one in TEXTS if one.isascii()]  # others come back in the order of the eye
    assert [one for one in plain if not _stands_in(_bare(one), shown)] == []


def _stands_in(text: str, shown: str) -> bool:
    """Whole, or with its rest on the next page: foot and head of the pages stand between."""
    if text in shown:
        return True
    for end in range(len(text) - 1, 0, -1):
        at = shown.find(text[:end])
        if at >= 0:
            return text[end:] in shown[at + end :]
    return False


def _bare(text: str) -> str:
    """Text without spaces: lines are broken, and long words in pieces."""
    return "".join(text.split()).replace("\u200b", "").replace("\xad", "")


def test_controls_of_direction_are_shown_by_their_code(tmp_path: Path) -> None:
    review = from_text(tmp_path, hostile_sheet(["ab".join(BIDI)]))
    page = record_html(review, "us")
    visible, _, proof = page.partition('<script type="application/json"')
    for one in BIDI:
        assert f"[U+{ord(one):04X}]" in visible
    assert not any(one in html.unescape(visible) for one in BIDI if one not in "\u2068\u2069")
    assert not any(one in proof for one in BIDI)
    assert record_pdf(review, "us").startswith(b"%PDF-")


def test_nothing_reorders_what_stands_around_it(browser: Browser, tmp_path: Path) -> None:
    """Unicode Standard Annex 9, as the browser carries it out: the places of the letters."""
    arabic, hebrew = "بطارية", "סוללה"
    nasty = [
        *(f"x{one}y" for one in BIDI),
        *(f"{one}{arabic}" for one in BIDI),
        "".join(BIDI),
        arabic, hebrew, f"{arabic} 48 {hebrew}", f"({hebrew})", f"{arabic} - {arabic}",
        f"48 {arabic} 12", f"{arabic}, {hebrew}; {arabic}", "\u0661\u0662", f"!{hebrew}!",
    ]  # fmt: skip
    lines = [f"A1 {safe(one)} 2B" for one in nasty]
    rows = "".join(f"<p>{html.escape(one)}</p>" for one in lines)
    file = tmp_path / "lines.html"
    file.write_text(f"<!DOCTYPE html><meta charset=utf-8><body>{rows}", encoding="utf-8")
    browser.open(file, 2000)
    places = browser.run(
        """
        const at = (node, from, to) => {
            const range = document.createRange();
            range.setStart(node, from); range.setEnd(node, to);
            return range.getBoundingClientRect();
        };
        return [...document.querySelectorAll('p')].map(p => {
            const node = p.firstChild, n = node.length;
            const first = at(node, 0, 2), middle = at(node, 3, n - 3), last = at(node, n - 2, n);
            return [first.right, middle.left, middle.right, last.left,
                    at(node, 0, 1).left < at(node, 1, 2).left,
                    at(node, n - 2, n - 1).left < at(node, n - 1, n).left];
        })"""
    )
    for line, (first, left, right, last, begins, ends) in zip(lines, places, strict=True):
        assert first <= left + 1 and right <= last + 1 and begins and ends, ascii(line)


def test_without_isolates_the_check_above_would_fail(browser: Browser, tmp_path: Path) -> None:
    """The check itself is checked: raw text with an override does reorder."""
    file = tmp_path / "raw.html"
    file.write_text("<!DOCTYPE html><meta charset=utf-8><p>A1 \u202eab 2B</p>", encoding="utf-8")
    browser.open(file, 1000)
    order = browser.run(
        """
        const node = document.querySelector('p').firstChild;
        const at = n => {
            const range = document.createRange();
            range.setStart(node, n); range.setEnd(node, n + 1);
            return range.getBoundingClientRect().left;
        };
        return at(node.length - 2) < at(node.length - 1)"""
    )
    assert order is False
