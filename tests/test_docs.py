"""The pages in `docs/` and the README say what the program does."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from functools import cache
from pathlib import Path

import jsonschema
import pytest
import typer

from advisor.cli import app
from tests.make_docs import DOCS, pages

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
PAGES = pages()
BLOCK = re.compile(r"^```[a-z]*\n(.*?)^```$", re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("name", PAGES)
def test_generated_pages_are_up_to_date(name: str) -> None:
    written = (DOCS / name).read_text(encoding="utf-8")
    assert written == PAGES[name], "run python -m tests.make_docs"


def test_no_page_about_rules_is_left_over() -> None:
    there = {f"rules/{one.name}" for one in (DOCS / "rules").iterdir()}
    assert there == {name for name in PAGES if name.startswith("rules/")}


@pytest.mark.parametrize("name", sorted(one.name for one in DOCS.glob("*.schema.json")))
def test_schemas_are_schemas(name: str) -> None:
    schema = json.loads((DOCS / name).read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)


def test_licence_and_changelog() -> None:
    assert "MIT License" in (DOCS / "LICENSE.txt").read_text(encoding="utf-8")
    changes = (DOCS / "changelog.md").read_text(encoding="utf-8")
    from advisor import __version__

    assert __version__ in changes


def _blocks(page: Path) -> list[str]:
    return BLOCK.findall(page.read_text(encoding="utf-8"))


def _commands(page: Path) -> list[list[str]]:
    """Every call of the program in the code blocks of a page, without the program's name."""
    found = []
    for block in _blocks(page):
        for line in block.splitlines():
            for part in line.split("&&"):
                words = shlex.split(part, comments=True)
                if words and words[0].removeprefix(".venv/bin/") == "advisor":
                    found.append(words[1:])
    return found


def _parsed(arguments: list[str]) -> list[str]:
    """Parse a call without running it; the names of the commands it goes through.

    Raises what the parser raises for an unknown command, option, choice or number of arguments.
    """
    command = typer.main.get_command(app)
    through = []
    rest = arguments
    context = None
    while True:
        context = command.make_context("advisor", list(rest), parent=context)
        if not hasattr(command, "resolve_command"):
            return through
        rest = [*context._protected_args, *context.args]
        name, command, rest = command.resolve_command(context, rest)
        through.append(str(name))


COMMANDS = [
    tuple(call) for page in (README, *sorted(DOCS.glob("*.md"))) for call in _commands(page)
]


@pytest.mark.parametrize("call", COMMANDS, ids=" ".join)
def test_commands_of_the_pages_parse(call: tuple[str, ...]) -> None:
    assert _parsed(list(call))


def test_there_are_commands_to_parse() -> None:
    assert {call[0] for call in COMMANDS} >= {"screen", "sheet", "rules"}


@pytest.mark.parametrize(
    "wrong", [["scren", "x"], ["screen"], ["screen", "x", "--unit", "us"], ["rules", "sho", "x"]]
)
def test_a_wrong_command_would_be_noticed(wrong: list[str]) -> None:
    with pytest.raises(Exception, match=r"No such|Missing"):
        _parsed(wrong)


def test_files_the_commands_name_exist() -> None:
    for call in COMMANDS:
        for word in call:
            if word.startswith("scenarios/"):
                assert (ROOT / word).is_file(), word


def test_rules_the_commands_name_exist() -> None:
    from advisor.rules import load_rulesets

    names = {rule.name for rule in load_rulesets(examples=False).rules}
    shown = {
        call[2]
        for call in COMMANDS
        if call[:2] in (("rules", "show"), ("rules", "prove")) and "--rules" not in call
    }
    assert shown - {"NAME"} <= names


def test_the_readme_shows_a_real_run() -> None:
    """The block after the mark is the beginning of what the command before it prints."""
    text = README.read_text(encoding="utf-8")
    command, output = (
        BLOCK.search(text, text.index(mark)) for mark in ("<!-- run -->", "<!-- output -->")
    )
    assert command is not None
    assert output is not None
    (call,) = [shlex.split(part)[1:] for part in command[1].split("&&") if "bin/advisor" in part]
    ran = subprocess.run(
        [sys.executable, "-m", "advisor", *call],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert ran.returncode == 1
    assert ran.stdout.startswith(output[1])


@pytest.mark.parametrize("page", [README, ROOT / "DEVELOPERS.md", *sorted(DOCS.rglob("*.md"))])
def test_links_of_the_pages_lead_somewhere(page: Path) -> None:
    """To a file, and where the link names a heading, to a heading of that file."""
    for target in set(re.findall(r"\]\(([^)]+)\)", page.read_text(encoding="utf-8"))):
        if target.startswith("http"):
            continue
        name, _, heading = target.partition("#")
        file = page.parent / name if name else page
        assert file.exists(), (page.name, target)
        if heading:
            assert heading in _anchors(file), (page.name, target)


@cache
def _anchors(file: Path) -> set[str]:
    """The anchors of the headings of a page, as hosts of Markdown make them."""
    titles = re.findall(r"^#+ (.+)$", file.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w -]", "", one.lower()).replace(" ", "-") for one in titles}


def test_every_rule_has_its_page_with_the_fixed_headings() -> None:
    from advisor.report.rules import HEADINGS
    from advisor.rules import load_rulesets

    for ruleset in load_rulesets(examples=False).rulesets:
        page = PAGES[f"rules/{ruleset.name}.md"]
        for rule in ruleset.rules:
            _, _, rest = page.partition(f"\n## {rule.name}\n")
            own = rest.split("\n## ")[0]
            assert re.findall(r"^### (.+)$", own, re.MULTILINE) == list(HEADINGS), rule.name


def test_the_rule_of_the_guide_holds(tmp_path: Path) -> None:
    """The file that `writing-rules.md` lets a reader write is whole, and its examples come out."""
    from advisor.rules import check_examples, load_rulesets

    text = (DOCS / "writing-rules.md").read_text(encoding="utf-8")
    block = BLOCK.search(text, text.index("<!-- my-rules/cords.yaml -->"))
    assert block is not None
    (tmp_path / "cords.yaml").write_text(block[1], encoding="utf-8")
    rule = load_rulesets(own=tmp_path).rule("long-cord-to-the-charger")
    assert rule is not None
    assert check_examples(rule) == []
