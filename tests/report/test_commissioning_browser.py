"""The page of the guide in a real browser: widths, no script, no request, no complaint."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.commissioning.making import guide_of, scenario
from tests.report.test_commissioning import SHEET, page_of

selenium = pytest.importorskip("selenium")
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER = shutil.which("chromedriver")

pytestmark = pytest.mark.skipif(
    not (BROWSER and DRIVER), reason="no chromium with its driver on this machine"
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from selenium.webdriver import Chrome, ChromeOptions, ChromeService

    options = ChromeOptions()
    options.binary_location = str(BROWSER)
    for word in ("--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"):
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = Chrome(options=options, service=ChromeService(str(DRIVER)))
    try:
        yield driver
    finally:
        driver.quit()


@pytest.fixture(scope="module", params=["orchard", "hostile"])
def page(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    guide = scenario("orchard-four-seater") if request.param == "orchard" else guide_of(SHEET)
    path = tmp_path_factory.mktemp("page") / f"{request.param}.html"
    path.write_text(page_of(guide), encoding="utf-8")
    return path


@pytest.mark.parametrize("width", [320, 768, 1400])
def test_nothing_sticks_out_at_any_width(browser: Any, page: Path, width: int) -> None:
    metrics = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 500}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    browser.get(page.as_uri())
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width
    out = browser.execute_script(
        "return [...document.querySelectorAll('body *')]"
        ".filter(one => one.getBoundingClientRect().right > arguments[0] + 0.5)"
        ".map(one => one.outerHTML.slice(0, 80))",
        width,
    )
    assert out == []


def test_nothing_runs_asks_or_complains(browser: Any, page: Path) -> None:
    browser.get_log("performance")
    browser.get(page.as_uri())
    asked = [json.loads(one["message"])["message"] for one in browser.get_log("performance")]
    urls = [
        one["params"]["request"]["url"]
        for one in asked
        if one["method"] == "Network.requestWillBeSent"
    ]
    assert urls == [page.as_uri()]
    assert browser.get_log("browser") == []
    assert browser.execute_script("return document.scripts.length") == 0
    assert browser.find_elements("css selector", "main img, main script") == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_texts_stand_out_from_their_ground(browser: Any, page: Path, scheme: str) -> None:
    """WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1 for text of usual size (memory)."""
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    browser.get(page.as_uri())
    colours = browser.execute_script(
        "return [...document.querySelectorAll('h1,h2,h3,p,li,dt,dd,strong,a')].map(one => {"
        "let ground = one; let found = 'rgba(0, 0, 0, 0)';"
        "while (ground && found === 'rgba(0, 0, 0, 0)') {"
        "found = getComputedStyle(ground).backgroundColor; ground = ground.parentElement; }"
        "return getComputedStyle(one).color + '|' + found; })"
    )
    assert len(set(colours)) >= 3
    for pair in set(colours):
        text, ground = (_luminance(one) for one in pair.split("|"))
        ratio = (max(text, ground) + 0.05) / (min(text, ground) + 0.05)
        assert ratio >= 4.5, pair


def _luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.1 from `rgb(r, g, b)`."""
    parts = colour[colour.index("(") + 1 : -1].split(",")[:3]
    linear = [
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in (float(one) / 255 for one in parts)
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_headings_go_down_one_level_at_a_time(browser: Any, page: Path) -> None:
    browser.get(page.as_uri())
    levels = browser.execute_script(
        "return [...document.querySelectorAll('h1,h2,h3,h4')].map(one => Number(one.tagName[1]))"
    )
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_it_prints(browser: Any, page: Path) -> None:
    browser.get(page.as_uri())
    printed = browser.execute_cdp_cmd("Page.printToPDF", {"printBackground": False})
    assert len(printed["data"]) > 10_000
