"""Hostile rulesets: refused with a message, or harmless; never an internal error, never slow."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest

from advisor.problems import ProblemsFoundError
from advisor.rules import RuleBook, check_examples, load_rulesets
from tests.rules.making import HEADER, rule_text

GOOD = "battery.full_voltage > 60 V"


def _load(folder: Path, text: str | bytes, name: str = "hostile.yaml") -> RuleBook:
    file = folder / name
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    return load_rulesets([file])


def _said(folder: Path, text: str | bytes) -> str:
    with pytest.raises(ProblemsFoundError) as caught:
        _load(folder, text)
    message = str(caught.value)
    assert len(message) < 20_000
    assert all(one.isprintable() or one == "\n" for one in message)
    return message


def _rule(when: str = GOOD, **changes: str) -> str:
    text = HEADER.format(name="hostile") + rule_text("made", when)
    for old, new in changes.items():
        key = old.replace("_", " ")
        assert key in text, key
        text = text.replace(key, new)
    return text


# -- numbers ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "says"),
    [
        ("9" * 400, "a number of 400 characters"),
        ("9" * 21, "a number of 21 characters"),
        ("0." + "0" * 400 + "1", "a number of 403 characters"),
        ("1e999", '"e999" is not a unit|"V" is not expected'),
        ("1_000", '"_000" is not a unit'),
        ("0x7fffffff", '"V" is not expected'),
        ("nan", '"V" is not expected'),
        ("inf", '"V" is not expected'),
        ("1.2.3", '"1.2.3" is not a number'),
        ("007", '"007" is not a number'),
        ("٣", "has no meaning here"),  # a digit of another script
    ],
)
def test_numbers(number: str, says: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match=says):
        _load(tmp_path, _rule(f"battery.full_voltage > {number} V"))


@pytest.mark.parametrize("word", ["nan", "inf", "infinity", "none", "true", "x"])
def test_words_are_no_numbers(word: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match=r"is no name and no number|a condition is no"):
        _load(tmp_path, _rule(f"battery.full_voltage > {word}"))


@pytest.mark.parametrize("value", ["9" * 400 + " V", "1e400 V", "nan V", "inf V", "-1e999 V"])
def test_numbers_in_examples(value: str, tmp_path: Path) -> None:
    given = f"[{{given: {{battery.full_voltage: {value}}}, verdict: violated}}]"
    text = _rule().replace("[{given: {}, verdict: undetermined}]", given)
    (rule,) = _load(tmp_path, text).rules
    assert any("battery.full_voltage" in str(one) for one in check_examples(rule))


def test_a_large_but_finite_number_is_harmless(tmp_path: Path) -> None:
    (rule,) = _load(tmp_path, _rule(f"battery.full_voltage > {'9' * 20} kV")).rules
    assert rule.when_text.endswith("kV")


# -- nesting and size ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "when",
    [
        "(" * 400 + GOOD + ")" * 400,
        "not " * 200 + "battery.lithium",
        "battery.full_voltage > " + "-" * 300 + "1 V",
        "battery.full_voltage > " + "min(1 V, " * 30 + "1 V" + ")" * 30,
    ],
)
def test_deep_conditions(when: str, tmp_path: Path) -> None:
    assert "nested too deeply" in _said(tmp_path, _rule(when))


def test_deep_yaml(tmp_path: Path) -> None:
    for text in ("[" * 5000, "{a: " * 5000, "- " * 5000 + "x", "? " * 5000):
        assert _said(tmp_path, text)


def test_long_lines(tmp_path: Path) -> None:
    for times in (40, 4000):
        many = " or ".join([GOOD] * times)
        assert "longer than 1" in _said(tmp_path, _rule(many))
    assert "longer than" in _said(tmp_path, _rule(A_made_rule="x" * 200_000))
    assert "is no key here" in _said(tmp_path, HEADER.format(name="x") + f"  - {'k' * 1000}: 1")


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    tracemalloc.start()
    said = _said(tmp_path, b"#" * (1 << 25))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "larger than 1 MiB" in said
    assert peak < 1 << 26


def test_thousands_of_rules(tmp_path: Path) -> None:
    many = HEADER.format(name="many") + "".join(rule_text(f"r-{n}", GOOD) for n in range(1500))
    assert "more than 400 rules" in _said(tmp_path, many)


def test_thousands_of_own_rules_and_files(tmp_path: Path) -> None:
    (tmp_path / "rules").mkdir()
    for file in range(3):
        text = HEADER.format(name=f"many-{file}")
        text += "".join(rule_text(f"r-{file}-{n}", GOOD) for n in range(390))
        (tmp_path / "rules" / f"m{file}.yaml").write_text(text)
    with pytest.raises(ProblemsFoundError, match="more than 1000 rules"):
        load_rulesets(own=tmp_path / "rules", examples=False)
    (tmp_path / "files").mkdir()
    for file in range(60):
        (tmp_path / "files" / f"m{file}.yaml").write_text(HEADER.format(name=f"m-{file}"))
    with pytest.raises(ProblemsFoundError, match="more than 40 files"):
        load_rulesets(own=tmp_path / "files")


def test_a_long_chain_of_conclusions(tmp_path: Path) -> None:
    chain = [rule_text("r-0", GOOD, more="concludes: battery.c0")]
    chain += [
        rule_text(f"r-{n}", f"battery.c{n - 1}", more=f"concludes: battery.c{n}")
        for n in range(1, 399)
    ]
    text = HEADER.format(name="chain") + "".join(reversed(chain))
    assert "more than 4 layers deep" in _said(tmp_path, text)


def test_too_many_ways_to_decide(tmp_path: Path) -> None:
    when = " and ".join(["(battery.lithium or use.region == us)"] * 16)
    assert "too many ways" in _said(tmp_path, _rule(when))


# -- tricks in texts -------------------------------------------------------------------------------

TRICKS = (
    "{battery.__class__}",
    "{battery.full_voltage.__init__.__globals__}",
    "{battery.full_voltage:>999999999}",
    "{battery.full_voltage!r}",
    "{0}", "{}", "{{}}", "{", "}", "{self}", "{controller[0]}",
    "{battery['full_voltage']}",
    "{battery.full_voltage" + "9" * 5000 + "}",
    "{" * 500,
)  # fmt: skip


@pytest.mark.parametrize("trick", TRICKS)
@pytest.mark.parametrize("where", ["finding", "do"])
def test_template_tricks(trick: str, where: str, tmp_path: Path) -> None:
    quoted = "'" + trick.replace("'", "''") + "'"
    old = "finding: Something is wrong with {controller}."
    text = HEADER.format(name="hostile") + rule_text("made", GOOD)
    if where == "finding":
        text = text.replace(old, f"finding: {quoted}")
    else:
        text = text.replace("no_fix: It is made up.", f"fixes: [{{do: {quoted}}}]")
    assert f"{where}:" in _said(tmp_path, text)


@pytest.mark.parametrize("text", ["%(x)s %n %s", "${HOME} `id` $(id)", "{{ 7*7 }}", "<script>"])
def test_other_languages_mean_nothing_or_are_refused(text: str, tmp_path: Path) -> None:
    try:
        (rule,) = _load(tmp_path, _rule(It_is_made_up=f"'{text}'")).rules
    except ProblemsFoundError:
        return
    assert rule.because == f"'{text}'.".strip(".") or text in rule.because


@pytest.mark.parametrize(
    "escape", ["\\e[31m", "\\a", "\\u202e", "\\u200b", "\\ufeff", "\\x07", "\\u2028"]
)
@pytest.mark.parametrize("key", ["title", "because", "finding", "wrong_when"])
def test_characters_that_command_a_terminal(key: str, escape: str, tmp_path: Path) -> None:
    text = HEADER.format(name="hostile") + rule_text("made", GOOD)
    lines = [
        f'    {key}: "before {escape} after"' if line.startswith(f"    {key}:") else line
        for line in text.splitlines()
    ]
    assert f"{key}: holds the character U+" in _said(tmp_path, "\n".join(lines))


# -- names -----------------------------------------------------------------------------------------

PATHS = (
    "../../etc/passwd",
    "/etc/passwd",
    "a/b",
    "..",
    "a\\\\b",
    "C:x",
    "~root",
    "a.yaml",
    "-x",
    "a b",
)


@pytest.mark.parametrize("name", PATHS)
def test_paths_in_names(name: str, tmp_path: Path) -> None:
    for head in ("ruleset: hostile", "rule: made"):
        text = HEADER.format(name="hostile") + rule_text("made", GOOD)
        assert "is no name" in _said(
            tmp_path, text.replace(head, f'{head.split(":")[0]}: "{name}"')
        )


def test_paths_in_references(tmp_path: Path) -> None:
    text = _rule().replace(
        '["common practice, no source"]', "[{source: ../../etc/passwd, read: memory}]"
    )
    assert "is not in sources.yaml" in _said(tmp_path, text)
    covers = HEADER.format(name="x") + rule_text("made", GOOD, more="covers: [../made]")
    assert "is no other rule" in _said(tmp_path, covers)
    concludes = HEADER.format(name="x") + rule_text("made", GOOD, more="concludes: battery.../x")
    assert "is no proposition" in _said(tmp_path, concludes)


# -- YAML ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n",
        "ruleset: !!python/object/apply:os.system ['true']\n",
        "<<: {a: 1}\n",
        "a: 1\n---\nb: 2\n",
        "a: 1\na: 2\n",
        "%TAG ! tag:x,2000:\n---\n!y z\n",
    ],
)
def test_tricks_of_yaml(text: str, tmp_path: Path) -> None:
    assert _said(tmp_path, text)


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    for data in (b"\x00", b"\xff\xfe", b"rules: [\x01]", b""):
        assert _said(tmp_path, data)


def test_links_and_devices(tmp_path: Path) -> None:
    (tmp_path / "loop.yaml").symlink_to(tmp_path / "loop.yaml")
    (tmp_path / "null.yaml").symlink_to("/dev/zero")
    with pytest.raises(ProblemsFoundError) as caught:
        load_rulesets(tmp_path)
    assert len(caught.value.problems) == 2
