"""The commands as a user meets them: exit codes, options, files, pipes, messages."""

from __future__ import annotations

import gc
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor import __version__, engine
from advisor.cli import app, main
from advisor.rules.values import Verdict

ROOT = Path(__file__).parents[1]
SCENARIOS = ROOT / "scenarios"
BARGAIN = str(SCENARIOS / "bargain-parts.yaml")
THREE = str(SCENARIOS / "three-facts.yaml")


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str


Advisor = Callable[..., Ran]


@pytest.fixture
def advisor(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Iterator[Advisor]:
    """The program inside this process, with everything it catches."""

    def call(*arguments: str) -> Ran:
        monkeypatch.setattr(sys, "argv", ["advisor", *arguments])
        with pytest.raises(SystemExit) as leaving:
            main()
        text = capsys.readouterr()
        code = leaving.value.code
        assert "Traceback" not in text.err
        return Ran(code if isinstance(code, int) else 0, text.out, text.err)

    yield call
    gc.enable()


def _process(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "advisor", *arguments],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
        **more,  # type: ignore[call-overload]
    )


def _clean(folder: Path) -> str:
    """A sheet in which every kind of part is stated as not fitted."""
    file = folder / "clean.yaml"
    file.write_text("sheet: 1\ntitle: Nothing fitted\ncomplete: all\n", encoding="utf-8")
    return str(file)


# -- exit codes ------------------------------------------------------------------------------------


def test_a_hazard_gives_one(advisor: Advisor) -> None:
    ran = advisor("screen", BARGAIN)
    assert ran.code == 1
    assert "STOP" in ran.out
    assert ran.err == ""


def test_undecided_checks_that_are_due_give_one(advisor: Advisor) -> None:
    ran = advisor("screen", THREE, "--fail-on", "high")
    assert ran.code == 1
    assert "not an all-clear" in " ".join(ran.out.split())


def test_never_gives_zero_whatever_was_found(advisor: Advisor) -> None:
    assert advisor("screen", BARGAIN, "--fail-on", "never").code == 0


@pytest.mark.parametrize(
    ("level", "code"),
    [("high", 0), ("serious", 0), ("medium", 1), ("low", 1), ("notice", 1), ("never", 0)],
)
def test_levels_of_fail_on(
    level: str, code: int, advisor: Advisor, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One finding of medium risk (critical and remote, MIL-STD-882E Table III)."""
    from advisor.rules import loading
    from tests.findings.making import book, rule

    rules = book(tmp_path, rule("a", "controller.absolute_max > 50 V", risk="critical remote"))
    monkeypatch.setattr(loading, "load_rulesets", lambda **_: rules)
    sheet = tmp_path / "build.sheet"
    sheet.write_text("sheet: 1\nparts: {controllers: [{id: drive, absolute_max: 60 V}]}\n")
    assert advisor("screen", str(sheet), "--fail-on", level).code == code


@pytest.mark.parametrize(
    "arguments",
    [
        ("screen",),
        ("screen", THREE, "--stage", "later"),
        ("screen", THREE, "--units", "cubits"),
        ("screen", THREE, "--fail-on", "some"),
        ("screen", THREE, "--width", "39"),
        ("screen", THREE, "--width", "wide"),
        ("screen", THREE, "--colour"),
        ("scren", THREE),
        ("rules", "show"),
    ],
)
def test_a_wrong_call_gives_two(arguments: tuple[str, ...], advisor: Advisor) -> None:
    ran = advisor(*arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err


@pytest.mark.parametrize("command", [("screen",), ("sheet", "check")])
def test_a_sheet_that_cannot_be_read_gives_two(
    command: tuple[str, ...], advisor: Advisor, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("sheet: 1\nparts:\n  packs: [{id: a, nominal_voltage: 51}]\ntitel: x\n")
    binary = tmp_path / "binary.yaml"
    binary.write_bytes(bytes(range(256)))
    for path in (tmp_path / "missing.yaml", tmp_path, bad, binary):
        ran = advisor(*command, str(path))
        assert ran.code == 2
        assert ran.out == ""
        assert path.name in ran.err
        assert "problem" in ran.err.splitlines()[-1]
    assert f"{bad.name}:3:" in advisor(*command, str(bad)).err
    assert "2 problems" in advisor(*command, str(bad)).err


def test_evaluators_that_disagree_give_three_and_judge_nothing(
    advisor: Advisor, monkeypatch: pytest.MonkeyPatch
) -> None:
    if engine.durable is None:
        pytest.skip("durable-rules is not on this interpreter; one evaluator cannot disagree")
    honest = engine._Engine.fire

    def lying(self, chunk, rows):
        return [
            {number: {Verdict.SATISFIED} for number in range(len(chunk.rules))}
            for _ in honest(self, chunk, rows)
        ]

    monkeypatch.setattr(engine._Engine, "fire", lying)
    ran = advisor("screen", THREE)
    assert ran.code == 3
    assert ran.out == ""
    assert "the rules engine says satisfied" in ran.err
    assert "the Python evaluator says" in ran.err
    assert "nothing was judged" in ran.err


def test_any_internal_error_gives_three_without_traceback(
    advisor: Advisor, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a made error")

    from advisor.findings import screening

    monkeypatch.setattr(screening, "facts_of", broken)
    ran = advisor("screen", THREE)
    assert ran.code == 3
    assert "a made error" in ran.err
    assert ran.out == ""


# -- options of screen -----------------------------------------------------------------------------


def test_json_is_json_and_follows_the_stage(advisor: Advisor) -> None:
    for stage in ("order", "wiring", "handoff"):
        ran = advisor("screen", BARGAIN, "--json", "--stage", stage)
        data = json.loads(ran.out)
        assert data["stage"] == stage
        assert ran.code == 1
    assert data["counts"]["later"] == 0


def test_units_and_width(advisor: Advisor) -> None:
    us = advisor("screen", BARGAIN, "--units", "us", "--width", "40")
    assert max(len(line) for line in us.out.splitlines()) <= 40
    assert "°F" in us.out or "ft" in us.out or "lb" in us.out


def test_output_writes_the_same_text_and_never_over_a_file(
    advisor: Advisor, tmp_path: Path
) -> None:
    printed = advisor("screen", BARGAIN)
    file = tmp_path / "report.txt"
    ran = advisor("screen", BARGAIN, "--output", str(file))
    assert ran.code == 1
    assert file.read_text(encoding="utf-8") == printed.out
    file.write_text("kept", encoding="utf-8")
    ran = advisor("screen", THREE, "-o", str(file))
    assert ran.code == 2
    assert "already" in ran.err
    assert file.read_text(encoding="utf-8") == "kept"
    assert list(tmp_path.iterdir()) == [file]


def test_output_leaves_no_partial_file(
    advisor: Advisor, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    ran = advisor("screen", BARGAIN, "--output", str(tmp_path / "report.txt"))
    assert ran.code == 2
    assert "No space left" in ran.err
    assert list(tmp_path.iterdir()) == []


def test_output_into_a_missing_folder(advisor: Advisor, tmp_path: Path) -> None:
    ran = advisor("screen", BARGAIN, "--output", str(tmp_path / "none" / "report.txt"))
    assert ran.code == 2
    assert "folder" in ran.err
    assert list(tmp_path.iterdir()) == []


def test_a_sheet_that_is_wrong_writes_no_report(advisor: Advisor, tmp_path: Path) -> None:
    report = tmp_path / "report.txt"
    assert advisor("screen", str(tmp_path / "none.yaml"), "-o", str(report)).code == 2
    assert not report.exists()


@pytest.mark.parametrize(
    "name",
    ["two words.yaml", "ümläut-Ω.yaml", "-dash.yaml", "a\nb.yaml", "c\x1b[31m.yaml", "%s{}.yaml"],
)
def test_odd_file_names(name: str, advisor: Advisor, tmp_path: Path) -> None:
    file = tmp_path / name
    file.write_bytes(Path(THREE).read_bytes())
    for command in (("screen",), ("sheet", "check"), ("screen", "--json")):
        ran = advisor(*command, "--", str(file))
        assert ran.code == (0 if command == ("sheet", "check") else 1), ran
        assert "\x1b" not in ran.out + ran.err
    file.write_text("sheet: 2\n", encoding="utf-8")
    ran = advisor("sheet", "check", "--", str(file))
    assert ran.code == 2
    assert "\x1b" not in ran.err
    assert len(ran.err.splitlines()) == 2


# -- sheet -----------------------------------------------------------------------------------------


def test_new_sheet_is_valid_and_never_written_over(advisor: Advisor, tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    ran = advisor("sheet", "new", str(file))
    assert ran.code == 0
    assert str(file) in ran.out
    assert advisor("sheet", "check", str(file)).code == 0
    screened = advisor("screen", str(file))
    assert screened.code == 1
    assert "NOTHING FOUND" not in screened.out
    file.write_text("mine", encoding="utf-8")
    ran = advisor("sheet", "new", str(file))
    assert ran.code == 2
    assert "already" in ran.err
    assert file.read_text(encoding="utf-8") == "mine"


def test_examples_are_listed_and_printed(advisor: Advisor) -> None:
    names = [
        line
        for line in advisor("sheet", "examples").out.splitlines()
        if line and not line[0].isspace()
    ]
    wanted = {one.stem for one in SCENARIOS.glob("*.yaml") if not one.stem.endswith(".expected")}
    finished = {one.stem for one in (SCENARIOS / "handoff").glob("*.yaml")} - {"expected"}
    assert set(names) == wanted | finished
    assert advisor("sheet", "examples", "three-facts").out == Path(THREE).read_text("utf-8")
    ran = advisor("sheet", "examples", "three-fact")
    assert ran.code == 2
    assert "three-facts" in ran.err


# -- rules -----------------------------------------------------------------------------------------


def test_every_rule_is_listed_and_shown(advisor: Advisor) -> None:
    from tests.findings.making import real_book

    ran = advisor("rules", "list")
    assert ran.code == 0
    for rule in real_book().rules:
        assert f" {rule.name}\n" in ran.out
    name = real_book().rules[0].name
    page = advisor("rules", "show", name, "--width", "60")
    assert page.code == 0
    assert page.out.startswith(name)
    assert max(len(line) for line in page.out.splitlines()) <= 60


def test_an_unknown_rule_is_answered_with_the_nearest(advisor: Advisor) -> None:
    from tests.findings.making import real_book

    name = real_book().rules[0].name
    ran = advisor("rules", "show", f"{name[:-1]}x")
    assert ran.code == 2
    assert name in ran.err
    ran = advisor("rules", "show", "zzzzzzzzzz")
    assert ran.code == 2
    assert "rules list" in ran.err


def test_rules_check(advisor: Advisor) -> None:
    ran = advisor("rules", "check")
    assert ran.code == 0
    assert "all examples hold" in ran.out


# -- the process -----------------------------------------------------------------------------------


def test_version_and_help() -> None:
    runner = CliRunner()
    assert runner.invoke(app, ["--version"]).output == f"advisor {__version__}\n"
    for command in ([], ["screen"], ["sheet"], ["sheet", "check"], ["rules"], ["rules", "show"]):
        result = runner.invoke(app, [*command, "--help"])
        assert result.exit_code == 0
        assert "Usage" in result.output
        assert "\x1b" not in result.output


def test_help_imports_no_library_it_does_not_need() -> None:
    script = (
        "import sys\n"
        "from advisor.cli import main\n"
        "sys.argv = ['advisor', '--help']\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "heavy = {'pydantic', 'durable', 'pint', 'numpy', 'yaml'} & set(sys.modules)\n"
        "sys.stderr.write(' '.join(sorted(heavy)))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert "Usage" in ran.stdout
    assert ran.stderr == ""


def test_exit_codes_of_the_process(tmp_path: Path) -> None:
    assert _process("screen", _clean(tmp_path), "--fail-on", "never").returncode == 0
    assert _process("screen", BARGAIN).returncode == 1
    ran = _process("screen", str(tmp_path / "none.yaml"))
    assert ran.returncode == 2
    assert "Traceback" not in ran.stderr


@pytest.mark.skipif(os.name != "posix", reason="a pipe of the shell")
@pytest.mark.parametrize("more", ["", "--json"])
def test_a_closed_pipe_is_no_error_and_hides_no_hazard(more: str) -> None:
    screen = f'"{sys.executable}" -m advisor screen "{BARGAIN}" {more}'
    command = f"{screen} | head -1; exit ${{PIPESTATUS[0]}}"
    ran = subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert len(ran.stdout.splitlines()) == 1
    assert ran.stderr == ""
    assert ran.returncode == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is full")
@pytest.mark.parametrize("arguments", [("screen", BARGAIN), ("sheet", "check", THREE)])
def test_a_full_disk_is_said(arguments: tuple[str, ...]) -> None:
    with Path("/dev/full").open("w") as full:
        ran = subprocess.run(
            [sys.executable, "-m", "advisor", *arguments],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            cwd=ROOT,
            check=False,
        )
    assert ran.returncode == 2
    assert "cannot be written" in ran.stderr
    assert "Traceback" not in ran.stderr


@pytest.mark.parametrize("more", [(), ("--json",)])
def test_a_terminal_without_degree_signs(more: tuple[str, ...]) -> None:
    sheet = str(SCENARIOS / "winter-hauler.yaml")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    ran = _process("screen", sheet, *more, env=environment)
    assert ran.returncode == 1, ran.stderr
    assert ran.stderr == ""
    assert ran.stdout.isascii()
    if more:
        assert "°C" in json.dumps(json.loads(ran.stdout), ensure_ascii=False)
