"""The record as HTML: one file, nothing fetched or run, headings and tables in order."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from advisor.handoff.model import Outcome
from advisor.report.record import record_html
from tests.report.record.making import LARGEST, PLAIN, POOR, ended, page, record, review_of, said

_VOID = {"meta", "link", "img", "br", "hr", "input", "rect", "use", "path"}


class Reader(HTMLParser):
    """Elements in order, with their attributes and what stands inside headings."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.headings: list[tuple[int, str]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self.open.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append((int(tag[1]), ""))

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self.open and re.fullmatch("h[1-6]", self.open[-1]):
            level, words = self.headings[-1]
            self.headings[-1] = (level, words + data)


@pytest.mark.parametrize("name", [LARGEST, PLAIN, POOR])
def test_it_is_one_file_that_fetches_and_runs_nothing(name: str) -> None:
    found = Reader(page(name))
    tags = [tag for tag, _ in found.elements]
    assert {"iframe", "object", "embed", "link", "form", "base", "img"}.isdisjoint(tags)
    assert [one.get("type") for tag, one in found.elements if tag == "script"] == [
        "application/json"
    ]
    for tag, attributes in found.elements:
        assert not [one for one in attributes if one.startswith("on")], tag
        for key in ("src", "href", "xlink:href", "action", "style"):
            value = attributes.get(key) or ""
            assert "http" not in value and "url(http" not in value, (tag, key)
            if key != "style" and value:
                assert value.startswith("#"), (tag, value)
    assert "@import" not in page(name)


@pytest.mark.parametrize("name", [LARGEST, PLAIN, POOR])
def test_it_is_small_enough(name: str) -> None:
    assert len(page(name).encode("utf-8")) < 2 * 1024 * 1024


@pytest.mark.parametrize("name", [LARGEST, PLAIN, POOR])
def test_headings_never_skip_a_level_and_tables_say_what_their_cells_are(name: str) -> None:
    found = Reader(page(name))
    levels = [level for level, _ in found.headings]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert all(words.strip() for _, words in found.headings)
    scopes = [one.get("scope") for tag, one in found.elements if tag == "th"]
    assert scopes and set(scopes) == {"col", "row"}
    tags = [tag for tag, _ in found.elements]
    assert tags.count("caption") == tags.count("table")
    names = [one["id"] for _, one in found.elements if one.get("id")]
    assert len(names) == len(set(names))


def test_every_picture_has_a_text_instead() -> None:
    found = Reader(page(PLAIN))
    pictures = [one for tag, one in found.elements if tag == "div" and one.get("role") == "img"]
    assert len(pictures) == 6
    assert all(len(one["aria-label"] or "") > 40 for one in pictures)


@pytest.mark.parametrize(
    ("outcome", "words"),
    [
        (Outcome.READY, "READY"),
        (Outcome.CONDITIONS, "READY WITH CONDITIONS"),
        (Outcome.NOT_READY, "NOT READY"),
    ],
)
def test_the_outcome_stands_in_words_before_everything_else(outcome: Outcome, words: str) -> None:
    text = record_html(ended(review_of(PLAIN), outcome), "us")
    before, _, _ = text.partition("<main>")
    assert re.search(rf'<p class="word"><span aria-hidden="true">.*?</span> {words}</p>', before)


def test_it_is_no_certificate() -> None:
    text = page(PLAIN)
    assert "It screens on paper. It does not certify." in text
    assert "Local codes and licensed practice decide" in text
    assert not re.search(r"certified|is safe to|guarantee", text)


def test_what_is_in_the_way_is_all_there() -> None:
    review = review_of(LARGEST)
    for one in review.obstacles:
        assert one.rule in page(LARGEST)


def test_the_same_review_gives_the_same_page() -> None:
    """So that two people can compare their copies."""
    review = review_of(PLAIN)
    assert record_html(review, "us") == record_html(review, "us")


def test_fingerprints_stand_in_the_text() -> None:
    review = review_of(PLAIN)
    text = page(PLAIN)
    for one in (review.build.fingerprint, review.screening.fingerprint, review.program_version):
        assert f"<dd>{one}" in text or f"{one}</dd>" in text


def test_units_are_those_of_the_reader() -> None:
    assert " mi" in said(record(PLAIN, "us"), "owner")
    assert " km" in said(record(PLAIN, "si"), "owner")
