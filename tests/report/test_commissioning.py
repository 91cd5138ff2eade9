"""The guide as text, Markdown, data and page: complete, plain, and safe whatever a sheet holds."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import jsonschema
import pytest

from advisor.commissioning.guide import Guide, Phase, Standing
from advisor.report.commissioning import guide_data, headline, render_guide, render_markdown
from tests.commissioning.making import NAMES, guide_of, scenario

DOCS = Path(__file__).parents[2] / "docs"
SCHEMA = json.loads((DOCS / "commissioning.schema.json").read_text(encoding="utf-8"))
HOSTILE = (
    "<script>alert(1)</script><img src=x onerror=alert(1)> \" ' & {{ 7*7 }} </title></style>"
    " \u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627 \U0001f697\U0001f525 " + "x" * 200
)
SHEET = """\
sheet: 1
title: TEXT
parts:
  packs:
    - {id: pack-a, name: TEXT, chemistry: lfp, cells_in_series: 16, capacity: 100 Ah}
  chargers:
    - {id: LONG, name: TEXT, current_max: 15 A}
readings:
  - {of: pack-a, what: resting_voltage, value: 53 V, instrument: TEXT, who: TEXT}
  - {of: pack-a, what: damaged, value: yes, who: TEXT}
""".replace("TEXT", json.dumps(HOSTILE, ensure_ascii=False)).replace("LONG", "charger-" + "a" * 52)


def every(_: object) -> bool:
    return True


@pytest.fixture(scope="module")
def hostile() -> Guide:
    return guide_of(SHEET)


def page_of(guide: Guide) -> str:
    pytest.importorskip("jinja2")
    from advisor.report.commissioning_page import render_page

    return render_page(guide, every)


@pytest.mark.parametrize("name", NAMES)
def test_the_text_keeps_to_its_width_and_holds_every_step(name: str) -> None:
    guide = scenario(name)
    for width in (40, 80):
        text = render_guide(guide, width, every)
        assert max(len(line) for line in text.splitlines()) <= width
    assert all(c.isprintable() or c == "\n" for c in text)
    assert len(re.findall(r"^\[ \] ", text, re.M)) == len(guide.steps)
    for phase in Phase:
        if guide.of(phase):
            assert str(phase).capitalize() in text


@pytest.mark.parametrize("name", NAMES)
def test_the_schema_takes_the_data(name: str) -> None:
    data = json.loads(json.dumps(guide_data(scenario(name), every)))
    jsonschema.Draft202012Validator(SCHEMA).validate(data)
    assert sum(len(one["steps"]) for one in data["phases"]) == len(scenario(name).steps)


def test_numbers_stay_when_only_some_steps_are_shown() -> None:
    guide = scenario("orchard-four-seater")
    data = guide_data(guide, lambda one: one.phase is Phase.CHARGING)
    (phase,) = data["phases"]
    numbers = {one.name: number for number, one in enumerate(guide.steps, 1)}
    assert phase["phase"] == "charging"
    assert all(one["number"] == numbers[one["name"]] for one in phase["steps"])


def test_the_headline_counts_what_is_off_and_dangerous(hostile: Guide) -> None:
    taken = sum(1 for one in hostile.steps if one.readings)
    kept = sum(1 for one in hostile.steps if one.key)
    assert taken == 2
    assert headline(hostile).startswith(f"{len(hostile.steps)} steps; 2 of {kept} readings taken")
    assert any(one.standing is Standing.DANGEROUS for one in hostile.steps)
    assert headline(hostile).endswith("1 dangerous.")


class Tags(HTMLParser):
    """Tags and texts of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def test_hostile_text_is_shown_and_never_run(hostile: Guide) -> None:
    read = Tags()
    page = page_of(hostile)
    read.feed(page)
    tags = {tag for tag, _ in read.tags}
    assert not tags & {"script", "img", "iframe", "object", "link", "base", "form"}
    attributes = {name for _, given in read.tags for name in given}
    assert not {one for one in attributes if one.startswith("on")} | (attributes & {"src", "style"})
    shown = [one for one in read.texts if HOSTILE in one]
    assert len(shown) >= 4  # title of the window, title of the page, two readings
    assert "49" not in "".join(shown)
    assert page.count("<title>") == 1 and page.count("</style>") == 1


def test_every_foreign_text_is_isolated_from_the_direction_of_its_neighbours(
    hostile: Guide,
) -> None:
    body = page_of(hostile).partition("<body>")[2]
    escaped = body.count("&lt;script&gt;")
    assert escaped and body.count("<bdi>") >= escaped
    assert len(re.findall(r"<bdi>[^<]*&lt;script&gt;", body)) == escaped


def test_the_page_asks_nothing_of_anybody() -> None:
    read = Tags()
    page = page_of(scenario("orchard-four-seater"))
    read.feed(page)
    links = [given["href"] for _, given in read.tags if given.get("href")]
    assert links and all(one is not None and one.startswith("#") for one in links)
    assert "url(" not in page and "@import" not in page and "http:" not in page
    targets = {given["id"] for _, given in read.tags if "id" in given}
    assert {one.removeprefix("#") for one in links if one} <= targets
    labelled = {given["aria-labelledby"] for _, given in read.tags if "aria-labelledby" in given}
    assert labelled <= targets


def test_the_page_holds_what_the_text_holds() -> None:
    guide = scenario("orchard-four-seater")
    read = Tags()
    read.feed(page_of(guide))
    text = " ".join(" ".join(read.texts).split())
    for one in guide.steps:
        assert one.do in text and one.title in text
        assert one.expectation is None or one.expectation.text in text


@pytest.mark.parametrize("render", ["text", "markdown"])
def test_hostile_text_cannot_command_a_terminal_or_a_reader(hostile: Guide, render: str) -> None:
    text = render_guide(hostile, 80, every) if render == "text" else render_markdown(hostile, every)
    assert all(c.isprintable() or c == "\n" for c in text)
    if render == "markdown":
        assert not re.search(r"(?<!\\)<script", text)


def test_a_file_name_with_marks_of_direction_is_escaped() -> None:
    guide = Guide("a\u202eb\x1b[31m.yaml", (), ())
    assert "\u202e" not in page_of(guide) and "\x1b" not in page_of(guide)
    assert "\x1b" not in render_guide(guide, 80, every)
    assert "\u202e" not in render_markdown(guide, every)
