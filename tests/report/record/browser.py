"""What the tests ask of a browser: widths, colours, what it fetched, said and printed."""

from __future__ import annotations

import base64
import json
from importlib.resources import files
from pathlib import Path
from typing import Any

from selenium.webdriver import Chrome

_AXE = (files("axe_core_python") / "axe.min.js").read_text(encoding="utf-8")
_HEIGHT = 900


class Browser:
    """One page at a time in a headless browser."""

    def __init__(self, driver: Chrome) -> None:
        self.driver = driver

    def open(self, page: Path, width: int = 1280, scheme: str = "light") -> None:
        """Show a file at a width (CSS pixels), light or dark."""
        self.log("performance")
        self.log("browser")
        size = {"width": width, "height": _HEIGHT, "deviceScaleFactor": 1, "mobile": width < 600}
        wanted = [{"name": "prefers-color-scheme", "value": scheme}]
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
        self.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": wanted})
        self.driver.get(page.as_uri())

    def run(self, script: str, *arguments: Any) -> Any:
        return self.driver.execute_script(script, *arguments)

    def log(self, name: str) -> list[dict[str, Any]]:
        """Everything logged under a name since it was last asked for."""
        return list(self.driver.get_log(name))

    def fetched(self) -> list[str]:
        """Addresses asked for since the page was opened."""
        events = [json.loads(one["message"])["message"] for one in self.log("performance")]
        return [
            one["params"]["request"]["url"]
            for one in events
            if one["method"] == "Network.requestWillBeSent"
        ]

    def too_wide(self) -> int:
        """How far the page reaches past its window, in CSS pixels."""
        script = "const e = document.documentElement; return e.scrollWidth - e.clientWidth"
        return int(self.run(script))

    def accessibility(self) -> list[str]:
        """What the checks of axe find wrong, of WCAG 2 A and AA and of good practice."""
        self.run(_AXE + "; window.axe = axe;")
        found = self.driver.execute_async_script(
            "const done = arguments[arguments.length - 1];"
            "axe.run(document, {resultTypes: ['violations']})"
            ".then(done, error => done({error: `${error}`}))"
        )
        assert "error" not in found, found
        return [
            f"{one['id']}: {one['help']}: {[node['html'][:150] for node in one['nodes'][:3]]}"
            for one in found["violations"]
        ]

    def printed(self) -> bytes:
        """The page as the browser prints it, a PDF."""
        told = self.driver.execute_cdp_cmd(
            "Page.printToPDF", {"printBackground": True, "preferCSSPageSize": True}
        )
        return base64.b64decode(told["data"])
