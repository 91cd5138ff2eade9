"""Data flows one way: which part of the program may import which, and nothing inside functions."""

from __future__ import annotations

import ast
from pathlib import Path

import advisor

ROOT = Path(advisor.__file__).parent

# Lower layers first. A part may import parts of its own layer's list entry and of earlier ones.
LAYERS = (
    ("problems", "writing", "acceptance"),
    ("yaml_text", "units", "physics"),
    ("tables",),
    ("vocabulary",),
    ("sheet", "rules"),
    ("catalogue",),
    ("judgement",),
    ("engine", "facts"),
    ("wiring",),
    ("driving",),
    ("findings",),
    ("proofs", "authoring"),
    ("explain",),
    ("fixing",),
    ("commissioning",),
    ("handoff",),
    ("report",),
    ("commands",),
    ("cli", "__main__"),
)
LEVEL = {part: number for number, layer in enumerate(LAYERS) for part in layer}
BESIDE = {("engine", "facts"), ("facts", "engine"), ("sheet", "rules"), ("rules", "sheet")}
BOTTOM = {"physics": set(), "problems": set()}


def _part(module: str) -> str:
    return module.split(".")[1]


def _imports(path: Path) -> list[tuple[str, int, bool]]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found = []
    top = set(tree.body)
    for node in tree.body:
        if isinstance(node, ast.If | ast.Try):  # at the top, and decided at once
            top |= set(node.body)
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
            if node.module == "advisor":
                names = [f"advisor.{alias.name}" for alias in node.names]
        found += [(name, node.lineno, node in top) for name in names]
    return found


def test_imports_follow_the_layers() -> None:
    wrong = []
    for path in sorted(ROOT.rglob("*.py")):
        part = path.relative_to(ROOT).parts[0].removesuffix(".py")
        if part == "__init__":
            continue
        assert part in LEVEL, f"{path}: say in LAYERS where {part} belongs"
        for name, line, _ in _imports(path):
            if not name.startswith("advisor.") or name == "advisor.__version__":
                continue
            other = _part(name)
            if other == part:
                continue
            if LEVEL[other] > LEVEL[part] or (part, other) in BESIDE:
                wrong.append(f"{path.relative_to(ROOT)}:{line}: {part} must not import {other}")
            if part in BOTTOM and other not in BOTTOM[part]:
                wrong.append(f"{path.relative_to(ROOT)}:{line}: {part} must import no other part")
    assert wrong == []


def test_only_the_command_line_and_the_unit_table_import_late() -> None:
    late = []
    for path in sorted(ROOT.rglob("*.py")):
        name = str(path.relative_to(ROOT))
        if name == "cli.py" or name.startswith(("units", "commands")):
            continue
        late += [f"{name}:{line}" for _, line, top in _imports(path) if not top]
    assert late == []


def test_report_is_imported_by_the_command_line_alone() -> None:
    users = {
        path.relative_to(ROOT).parts[0].removesuffix(".py")
        for path in ROOT.rglob("*.py")
        for name, _, _ in _imports(path)
        if name.startswith("advisor.report")
    }
    assert users <= {"cli", "commands", "report", "__main__"}
