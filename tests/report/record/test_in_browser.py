"""The record in a real Chromium: it fits, fetches nothing, runs nothing, and can be read by all."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.handoff.model import Outcome
from advisor.report.record import labels_html, record_html
from tests.report.record.browser import Browser
from tests.report.record.making import LARGEST, PLAIN, POOR, ended, page, review_of

WIDTHS = (320, 768, 1280)


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Records and labels as files."""
    folder = tmp_path_factory.mktemp("pages")
    made = {name: page(name) for name in (LARGEST, PLAIN, POOR)}
    made["ready"] = record_html(ended(review_of(PLAIN), Outcome.READY), "us")
    made["conditions"] = record_html(ended(review_of(PLAIN), Outcome.CONDITIONS), "si")
    made["labels"] = labels_html(review_of(PLAIN), "us")
    made["blank-labels"] = labels_html(review_of(POOR), "us")
    files = {name: folder / f"{name}.html" for name in made}
    for name, path in files.items():
        path.write_text(made[name], encoding="utf-8")
    return files


NAMES = (LARGEST, PLAIN, POOR, "ready", "conditions", "labels", "blank-labels")


@pytest.mark.parametrize("name", NAMES)
def test_it_fits_and_fetches_and_complains_of_nothing(
    browser: Browser, shown: dict[str, Path], name: str
) -> None:
    for width in WIDTHS:
        browser.open(shown[name], width)
        assert browser.too_wide() <= 0, f"{name} at {width} px"
        assert browser.fetched() == [shown[name].as_uri()]
        assert browser.log("browser") == []


@pytest.mark.parametrize(
    ("name", "width", "scheme"),
    [
        (LARGEST, 320, "dark"),
        (PLAIN, 1280, "light"),
        ("conditions", 768, "dark"),
        ("labels", 320, "dark"),
        ("blank-labels", 1280, "light"),
    ],
)
def test_axe_finds_nothing(
    browser: Browser, shown: dict[str, Path], name: str, width: int, scheme: str
) -> None:
    """axe-core, the rules of WCAG 2.1 A and AA among them: contrast, names, headings, tables."""
    browser.open(shown[name], width, scheme)
    assert browser.accessibility() == []


def test_dark_is_dark_and_light_is_light(browser: Browser, shown: dict[str, Path]) -> None:
    script = "return getComputedStyle(document.body).backgroundColor.match(/[0-9]+/g).map(Number)"
    browser.open(shown[PLAIN], scheme="light")
    assert min(browser.run(script)) > 200
    browser.open(shown[PLAIN], scheme="dark")
    assert max(browser.run(script)) < 60


def test_lines_of_charts_stand_out_in_the_dark(browser: Browser, shown: dict[str, Path]) -> None:
    script = """
        const text = document.querySelector('#figure-currents svg text');
        return getComputedStyle(text).fill.match(/[0-9]+/g).map(Number)"""
    browser.open(shown[PLAIN], scheme="dark")
    assert min(browser.run(script)) > 200


@pytest.mark.parametrize("name", [LARGEST, PLAIN, "labels"])
def test_it_prints(browser: Browser, shown: dict[str, Path], name: str) -> None:
    browser.open(shown[name])
    printed = browser.printed()
    assert printed.startswith(b"%PDF-")
    assert len(printed) > 10_000


def test_what_scrolls_can_be_reached_by_keyboard(browser: Browser, shown: dict[str, Path]) -> None:
    browser.open(shown[LARGEST], 320)
    script = """
        return [...document.querySelectorAll('*')].filter(e =>
            e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflowX === 'auto'
            && !(e.tabIndex === 0 && e.getAttribute('role') === 'region'
                 && e.getAttribute('aria-label'))).map(e => e.outerHTML.slice(0, 80))"""
    assert browser.run(script) == []
    wide = """return [...document.querySelectorAll('.scroll')].some(
        e => e.scrollWidth > e.clientWidth + 1)"""
    assert browser.run(wide) is True
