"""Write the generated pages in `docs/`, or with --check say which are out of date.

Run: python -m tests.make_docs [--check]
"""

from __future__ import annotations

import json
import re
import sys
import textwrap
from pathlib import Path

import yaml

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.findings.screening import screen
from advisor.report.text import render
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets, find_scenarios
from advisor.sheet.reading import read_sheet
from advisor.sheet.schema import sheet_schema
from advisor.vocabulary import ASK_WORDS, GROUPS, VOCABULARY, Attribute, Kind, Subject
from tests import make_matrix, make_well_made
from tests.make_coverage import page as coverage_page
from tests.rule_pages import rule_pages

DOCS = Path(__file__).parents[1] / "docs"


def pages() -> dict[str, str]:
    """Every generated page by file name."""
    return {
        "sheet.schema.json": json.dumps(sheet_schema(), indent=1, ensure_ascii=False) + "\n",
        "vocabulary.md": _vocabulary(),
        **rule_pages(load_rulesets()),
        "scenarios.md": _scenarios(),
        "coverage.md": coverage_page(load_rulesets()),
        "well-made-builds.md": make_well_made.page(),
        "coverage-matrix.md": make_matrix.page(),
    }


def _scenarios() -> str:
    lines = [
        "# Scenarios",
        "",
        "<!-- made by python -m tests.make_docs; do not edit -->",
        "",
        "Invented vehicles and what each must show. `advisor sheet examples` lists them; sheets",
        "and the expectations with their arithmetic lie in `scenarios/`.",
        "",
    ]
    for name, path in example_sheets().items():
        text = path.with_name(f"{name}.expected.yaml").read_text(encoding="utf-8")
        wanted = yaml.safe_load(text)
        lines += [
            f"## {wanted['title']}",
            "",
            f"`{name}`",
            "",
            *textwrap.wrap(wanted["why"], 100),
            "",
        ]
        lines += _reasons(wanted["must_find"])
        if wanted["disputed"]:
            lines += ["Given today and wrong:", "", *_reasons(wanted["disputed"])]
    return "\n".join([*lines, *_handoffs()])


def _handoffs() -> list[str]:
    """The finished vehicles of `scenarios/handoff/`, with what keeps each from its owner."""
    path = find_scenarios() / "handoff" / "expected.yaml"
    lines = [
        "## Finished vehicles",
        "",
        "The same vehicles built and measured, each once as handed over and once as refused, in",
        "`scenarios/handoff/`. Of each: how the review ends, then what stands in the way, what is",
        "said with it, and why.",
        "",
    ]
    for name, wanted in yaml.safe_load(path.read_text(encoding="utf-8")).items():
        lines += [f"### {name}", "", *textwrap.wrap(wanted["shows"], 100), ""]
        lines += [f"The review ends with: {wanted['outcome']}.", ""]
        listed = [*wanted["obstacles"], *wanted["conditions"]]
        lines += [
            f"- {one['kind']}: {one['rule']} on {one['part']}: {one['why']}" for one in listed
        ]
        lines += [""] if listed else []
    return lines


def _reasons(listed: list[dict[str, str]]) -> list[str]:
    lines = [f"- {one['rule']} on {one['about']}: {one['why']}" for one in listed]
    return [*lines, ""] if lines else []


def _vocabulary() -> str:
    lines = [
        "# Vocabulary",
        "",
        "<!-- made by python -m tests.make_docs; do not edit -->",
        "",
        "Every value a sheet may hold and every value the rules read. *Computed* values cannot be",
        "written; they follow from the others. Units are examples: any spelling of the same kind",
        "of quantity may be written (`lb` for `kg`, `degF` for `°C`, `mph` for `km/h`).",
        "",
        "Where to find it: "
        + "; ".join(f"*{ask.value}*: {words}" for ask, words in ASK_WORDS.items())
        + ".",
        "",
        "Groups for `complete:` "
        + "; ".join(f"`{group}`: {', '.join(kinds)}" for group, kinds in GROUPS.items())
        + ".",
        "",
    ]
    for subject in VOCABULARY.subjects.values():
        lines += _subject(subject)
    return "\n".join(lines)


def _subject(subject: Subject) -> list[str]:
    where = f"`{subject.section}:`" + (", a list" if subject.many else "")
    rows = [
        f"## {subject.name}",
        "",
        f"The {subject.meaning}. In the sheet: {where}.",
        "",
        "| name | unit or words | meaning | where to find it |",
        "| --- | --- | --- | --- |",
    ]
    rows += [
        f"| {one.name} | {_form(one)} | {one.meaning}{_may(one)} | {one.ask.value} |"
        for one in subject.attributes
    ]
    return [*rows, ""]


def _form(attribute: Attribute) -> str:
    match attribute.kind:
        case Kind.CHOICE:
            return ", ".join(attribute.choices)
        case Kind.FLAG:
            return "yes, no"
        case Kind.COUNT:
            return "whole number"
        case Kind.TEXT:
            return "text"
        case Kind.REFERENCE:
            return "id of a part"
    if attribute.unit == "mm²":
        return "mm² or AWG"
    return attribute.unit or "number"


def _may(attribute: Attribute) -> str:
    return " (may stand under `settings`)" if attribute.programmable else ""


README_RUN = "scenarios/seventy-two-volt-hauler.yaml"
_OUTPUT = re.compile(r"(?<=<!-- output -->\n```\n).*?(?=\n```)", re.S)


def readme() -> str:
    """The README with the beginning of the real output of its command."""
    book = load_rulesets()
    build = read_sheet(Path(README_RUN))
    text = render(screen(build, book, Judge(book), facts=surveyed(build)), "si", 80)
    shown = text.split("\nGood to know\n")[0].rstrip()
    old = (DOCS.parent / "README.md").read_text(encoding="utf-8")
    return _OUTPUT.sub(lambda _: shown, old, count=1)


def main() -> None:
    """Write the pages, or compare them. Run it from the top folder."""
    stale = []
    made = pages()
    (DOCS / "rules").mkdir(exist_ok=True)
    for path in (DOCS / "rules").glob("*.md"):
        if f"rules/{path.name}" not in made:
            stale.append(f"rules/{path.name} is left over")
            if "--check" not in sys.argv:
                path.unlink()
    for name, text in {**made, "../README.md": readme()}.items():
        path = DOCS / name
        if "--check" in sys.argv:
            if not path.exists() or path.read_text(encoding="utf-8") != text:
                stale.append(name)
        else:
            path.write_text(text, encoding="utf-8")
    if stale and "--check" in sys.argv:
        sys.exit(f"out of date: {', '.join(stale)}; run python -m tests.make_docs")


if __name__ == "__main__":
    main()
