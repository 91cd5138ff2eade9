"""A real Chromium without a window, one for all tests here."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator

import pytest
from selenium import webdriver

from tests.report.record.browser import Browser

_PLACES = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser; the tests are skipped where there is none (CI installs it)."""
    binary = next((found for one in _PLACES if (found := shutil.which(one))), None)
    driver = shutil.which("chromedriver")
    if binary is None or driver is None:
        words = "needs Chromium and its driver: apt-get install chromium chromium-driver"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(words)
    options = webdriver.ChromeOptions()
    options.binary_location = binary
    for one in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"):
        options.add_argument(one)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    running = webdriver.Chrome(options=options, service=webdriver.ChromeService(driver))
    try:
        yield Browser(running)
    finally:
        running.quit()
