"""The example sheets that come with the program."""

from __future__ import annotations

from pathlib import Path

from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.yaml_text import Mapping, Scalar, read_file


def find_scenarios() -> Path:
    """The folder of the scenarios: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "_data" / "scenarios"
    return installed if installed.is_dir() else package.parent / "scenarios"


def example_sheets() -> dict[str, Path]:
    """The sheets by name."""
    found = sorted(find_scenarios().glob("*.yaml"))
    return {one.stem: one for one in found if not one.stem.endswith(".expected")}


def handoff_sheets() -> dict[str, Path]:
    """The finished vehicles by name: each example as handed over, and as refused."""
    found = sorted((find_scenarios() / "handoff").glob("*.yaml"))
    return {one.stem: one for one in found if one.stem != "expected"}


def example_sheet(name: str) -> Path:
    """One sheet of either kind. Raises ProblemsFoundError with the nearest name."""
    known = example_sheets() | handoff_sheets()
    if name not in known:
        advice = nearest(name, known) or f"write one of: {', '.join(known)}"
        raise ProblemsFoundError(
            [Problem("examples", Place(), "", f"there is no example {shown(name)}", advice)]
        )
    return known[name]


def title_of(path: Path) -> str:
    """The title of a sheet."""
    root = read_file(path)
    title = root.entries.get("title") if isinstance(root, Mapping) else None
    return title.text if isinstance(title, Scalar) else ""
