"""The cable runs of a layout written out, for a sheet in which they can be filled in."""

from __future__ import annotations

import re

from advisor.problems import Place, Problem, ProblemsFoundError
from advisor.sheet.build import Build
from advisor.sheet.reading import read_sheet_bytes
from advisor.vocabulary import TERMINALS
from advisor.yaml_text import Mapping, read_text

_REST = r"""["']?(\s+#.*|\s*)[\r\n]*"""
_LAYOUT = re.compile(r"""\ufeff?( *)["']?layout["']? *: *["']?[a-z-]+""" + _REST)
_WIRING = re.compile(r"""\ufeff?( *)["']?wiring["']? *: *["']?unknown""" + _REST)
_ENDS = ("from", "to", "circuit")


def runs_as_yaml(build: Build) -> str:
    """The `wiring:` section with the ends of every run, sizes and lengths to be filled in.

    Parts that could end a cable and that no run names are listed in a comment.
    """
    runs = [one for one in build.instances if one.subject == "run"]
    lines = ["wiring:"]
    for run in runs:
        ends = [f"{key}: {run.values[key].value}" for key in _ENDS if key in run.values]
        cells = [f"id: {run.id}", *ends, "gauge: unknown", "length: unknown"]
        lines.append(f"  - {{{', '.join(cells)}}}")
    joined = {
        str(run.values[key].value).rpartition(".")[0]
        for run in runs
        for key in ("from", "to")
        if key in run.values
    }
    left = [
        one.id
        for one in build.instances
        if one.subject in TERMINALS and one.subject != "vehicle" and one.id not in joined
    ]
    if left:
        lines.append("  # Without a cable so far, add those they have:")
        lines += [f"  #   {one}" for one in left]
    return "\n".join(lines) + "\n"


def written_out(text: str, build: Build) -> tuple[str, Build]:
    """The text with the runs of its layout, where it names one, and what it reads as."""
    root = read_text(text.encode(), build.file)
    if not isinstance(root, Mapping) or "layout" not in root.entries:
        return text, build
    written = with_runs(text, build)
    return written, read_sheet_bytes(written.encode(), build.file)


def with_runs(text: str, build: Build) -> str:
    """The text of a sheet with the runs of its layout in place of the line `layout:`.

    A line `wiring: unknown` goes, as the runs take its place; nothing else is changed. `build` is
    what the text was read as. Raises ProblemsFoundError when the text names no layout, or not on a
    line of its own.
    """
    root = read_text(text.encode(), build.file)
    if not isinstance(root, Mapping) or "layout" not in root.entries:
        raise _refused(build, Place(), "the sheet names no layout", "write layout: and its name")
    lines = text.splitlines(keepends=True)
    place, wiring = root.keys["layout"], root.keys.get("wiring")
    line = lines[place.line - 1]
    found = _LAYOUT.fullmatch(line)
    if found is None:
        problem = "the layout does not stand on a line of its own"
        raise _refused(build, place, problem, "write it so: layout: single-bus")
    unsaid = _WIRING.fullmatch(lines[wiring.line - 1]) if wiring is not None else None
    if wiring is not None and unsaid is None:
        problem = "`wiring: unknown` does not stand on a line of its own"
        raise _refused(build, wiring, problem, "write it so, or remove it")
    indent = found[1]
    remarks = [one[2].strip() for one in (found, unsaid) if one is not None]
    made = [*filter(None, remarks), *runs_as_yaml(build).splitlines()]
    ending = "\r\n" if line.endswith("\r\n") else "\n"
    start = "\ufeff" if line.startswith("\ufeff") else ""
    lines[place.line - 1] = start + "".join(f"{indent}{one}{ending}" for one in made)
    if wiring is not None:
        del lines[wiring.line - 1]
    written = "".join(lines)
    _same_runs(build, read_sheet_bytes(written.encode(), build.file))
    return written


def _same_runs(before: Build, after: Build) -> None:
    """Raise AssertionError unless both have the same runs; anything else is our own mistake."""

    def runs(build: Build) -> list[tuple[str, ...]]:
        return [
            (one.id, *(str(one.values[key].value) for key in _ENDS))
            for one in build.instances
            if one.subject == "run"
        ]

    assert runs(before) == runs(after)


def _refused(build: Build, place: Place, problem: str, advice: str) -> ProblemsFoundError:
    return ProblemsFoundError([Problem(build.file, place, "layout", problem, advice)])
