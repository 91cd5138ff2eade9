"""The JSON Schema and the page of the vocabulary, against the sheets and the models."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from advisor.sheet.models import keys_of, model_of
from advisor.sheet.schema import sheet_schema
from advisor.sheet.starter import STARTER
from advisor.vocabulary import VOCABULARY
from tests.sheet.test_good_sheets import SHEET

DOCS = Path(__file__).parents[2] / "docs"
BAD = Path(__file__).parent / "bad"
SCHEMA = sheet_schema()


def as_editor_reads(text: str) -> Any:
    """YAML 1.2, as editors read it: only true and false are booleans, and no dates."""

    class Loader(yaml.SafeLoader):
        pass

    Loader.yaml_implicit_resolvers = {
        letter: [(tag, form) for tag, form in forms if not tag.endswith(("bool", "timestamp"))]
        for letter, forms in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }
    return yaml.load(text, Loader)


@pytest.mark.parametrize("text", [STARTER, SHEET, "sheet: 1\n"])
def test_sheets_that_read_well_follow_it(text: str) -> None:
    jsonschema.validate(as_editor_reads(text), SCHEMA)


@pytest.mark.parametrize(
    "name",
    [
        "misspelt-key",
        "misspelt-choice",
        "unknown-section",
        "singular-kind",
        "key-elsewhere",
        "no-id",
        "bad-id",
        "list-for-value",
        "mapping-for-value",
        "flag-on",
        "half-a-seat",
        "no-version",
        "other-version",
        "stage-word",
        "complete-word",
        "reading-no-value",
    ],
)
def test_an_editor_marks_these_mistakes(name: str) -> None:
    sheet = as_editor_reads((BAD / f"{name}.yaml").read_text(encoding="utf-8"))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(sheet, SCHEMA)


@pytest.mark.parametrize("subject", sorted(VOCABULARY.subjects))
def test_every_written_attribute_is_in_model_and_schema_and_no_computed_one(subject: str) -> None:
    given = {one.name for one in VOCABULARY.subjects[subject].attributes if one.given}
    computed = {one.name for one in VOCABULARY.subjects[subject].attributes if not one.given}
    for names in (
        set(model_of(subject).model_fields),
        set(keys_of(subject)),
        set(SCHEMA["$defs"][subject]["properties"]),
    ):
        assert given <= names
        assert not computed & names


def test_every_key_says_what_it_means() -> None:
    for definition in SCHEMA["$defs"].values():
        for key, one in definition["properties"].items():
            assert key == "bms" or one["description"], key


def test_the_page_lists_every_attribute_with_its_words_or_unit() -> None:
    page = (DOCS / "vocabulary.md").read_text(encoding="utf-8")
    for subject in VOCABULARY.subjects.values():
        section = page.partition(f"## {subject.name}\n")[2].partition("\n## ")[0]
        for one in subject.attributes:
            rows = [line for line in section.splitlines() if line.startswith(f"| {one.name} |")]
            row = rows[-1]  # the first may be the head of the table
            assert one.meaning in row and one.ask.value in row
            assert all(word in row for word in one.choices)


def test_the_schema_can_be_written_as_json() -> None:
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA
