"""PDF files read back by the tools of Poppler, which share nothing with what wrote them."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest


def _tool(name: str, pdf: bytes, *options: str) -> str:
    found = shutil.which(name)
    if found is None:
        words = f"needs {name}: apt-get install poppler-utils"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(words)
    with TemporaryDirectory() as folder:
        file = Path(folder) / "made.pdf"
        file.write_bytes(pdf)
        command = [found, *options, str(file), *(["-"] if name == "pdftotext" else [])]
        done = subprocess.run(command, capture_output=True, check=True)
    return done.stdout.decode("utf-8")


def text_of(pdf: bytes, *options: str) -> str:
    """The text of a PDF, in the order of its content."""
    return _tool("pdftotext", pdf, "-raw", *options)


def about(pdf: bytes) -> dict[str, str]:
    """Title, pages, whether it is tagged, as `pdfinfo` says."""
    pairs = (line.partition(":") for line in _tool("pdfinfo", pdf).splitlines())
    return {name.strip(): value.strip() for name, _, value in pairs}
