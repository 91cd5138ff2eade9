"""Evidence inside a record: written as a block of data in the page, and read back from it."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from advisor.handoff.evidence import FORMAT, VERSION
from advisor.problems import Place, Problem, ProblemsFoundError, shown

MARK = "advisor-evidence"
"""Id of the block in the page."""

_OPEN = re.compile(rf'<script type="application/json" id="{MARK}">')
_CLOSE = "</script>"
_ESCAPED = {
    ord("<"): "\\u003c",
    ord(">"): "\\u003e",
    ord("&"): "\\u0026",
    0x2028: "\\u2028",
    0x2029: "\\u2029",
}
_WORDS = {
    "format": str,
    "version": str,
    "program": dict,
    "sheet": dict,
    "rulesets": list,
    "rules_fingerprint": str,
    "outcome": str,
    "verdicts": list,
}
_OF_VERDICT = {
    "rule": str,
    "part": str,
    "verdict": str,
    "assumed": bool,
    "level": str,
    "meaning": str,
}
_WRITE = "give the HTML file that `advisor handoff` wrote, unchanged"


def embedded(data: Mapping[str, Any]) -> str:
    """Evidence as an element of a page: data that no browser runs, and that cannot end it."""
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"), sort_keys=True)
    return f'<script type="application/json" id="{MARK}">{text.translate(_ESCAPED)}{_CLOSE}'


def read_evidence(text: str, file: str = "record") -> dict[str, Any]:
    """The evidence inside a record. `file` is its name, for messages.

    Raises ProblemsFoundError for a text that is no record, or one that was cut or changed.
    """
    found = _OPEN.search(text)
    if found is None:
        raise _refused(file, Place(), "this is no record: there is no evidence in it")
    place = Place(text.count("\n", 0, found.start()) + 1, 1)
    if _OPEN.search(text, found.end()):
        raise _refused(file, place, "there is evidence in it twice")
    end = text.find(_CLOSE, found.end())
    if end < 0:
        raise _refused(file, place, "the evidence has no end; the file was cut")
    try:
        data = json.loads(text[found.end() : end])
    except (ValueError, RecursionError) as error:
        raise _refused(file, place, f"the evidence cannot be read: {str(error)[:80]}") from None
    return _checked(data, file, place)


def _checked(data: Any, file: str, place: Place) -> dict[str, Any]:
    """The data when it has the shape that `evidence` gives it."""
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise _refused(file, place, "the data in it is no evidence of a handoff")
    version = str(data.get("version"))
    if version.partition(".")[0] != VERSION.partition(".")[0]:
        problem = f"its evidence is of version {shown(version)}, and {VERSION} is read here"
        raise _refused(file, place, problem)
    wrong = [key for key, kind in _WORDS.items() if not isinstance(data.get(key), kind)]
    if wrong:
        raise _refused(file, place, f"the evidence lacks {', '.join(wrong)}")
    wanted = (("program", ("version", "engine")), ("sheet", ("fingerprint",)))
    wrong = [
        f"{part}.{key}"
        for part, keys in wanted
        for key in keys
        if not isinstance(data[part].get(key), str)
    ]
    if any(not _has(one, {"name": str, "version": str}) for one in data["rulesets"]):
        wrong.append("the name or version of a ruleset")
    if any(not _has(one, _OF_VERDICT) for one in data["verdicts"]):
        wrong.append("a part of a verdict")
    if wrong:
        raise _refused(file, place, f"the evidence lacks {', '.join(wrong)}")
    return data


def _has(one: Any, keys: Mapping[str, type]) -> bool:
    return isinstance(one, dict) and all(isinstance(one.get(k), kind) for k, kind in keys.items())


def _refused(file: str, place: Place, problem: str) -> ProblemsFoundError:
    return ProblemsFoundError([Problem(file, place, "evidence", problem, _WRITE)])


__all__ = ["MARK", "embedded", "read_evidence"]
