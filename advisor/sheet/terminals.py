"""Ends of cable runs: each names a listed part and a terminal that such a part has."""

from __future__ import annotations

import re

from advisor.problems import nearest, shown
from advisor.sheet.build import Instance, Written
from advisor.sheet.notes import Notes
from advisor.vocabulary import TERMINALS, VOCABULARY

_OTHER = {"from": "to", "to": "from"}
_STARTS = {"from": "starts", "to": "ends"}
_STUD = re.compile(r"stud-([0-9]{1,4})")


def check_ends(run: Instance, by_id: dict[str, Instance], refused: set[str], notes: Notes) -> None:
    """Note what is wrong with the ends of one run; `refused` ids were told of already."""
    path = f"wiring[{run.id}]"
    ends = [(name, run.values[name]) for name in _OTHER if name in run.values]
    sound = [_end(f"{path}.{name}", one, by_id, refused, notes) for name, one in ends]
    if len(ends) == 1:
        _half(run, ends[0][0], path, notes)
    elif len(ends) == 2 and all(sound):
        _joined_already(ends[0][1], ends[1][1], path, by_id, notes)


def a_part(subject: str) -> str:
    """A kind of part with its article: `a fuse`, `an electrical load`."""
    meaning = VOCABULARY.subjects[subject].meaning
    return f"an {meaning}" if meaning[0] in "aeio" else f"a {meaning}"


def _half(run: Instance, name: str, path: str, notes: Notes) -> None:
    """A run of which one end was forgotten; `unknown` is an answer."""
    missing = _OTHER[name]
    if missing in run.answers or notes.has(f"{path}.{missing}", ("",)):
        return
    advice = f"add {missing}: with the terminal where it {_STARTS[missing]}, or unknown"
    notes.add(run.values[name].place, path, f"the run has `{name}` but no `{missing}`", advice)


def _joined_already(
    start: Written, end: Written, path: str, by_id: dict[str, Instance], notes: Notes
) -> None:
    if start.value == end.value:
        notes.add(end.place, f"{path}.to", "the run ends where it starts", "write its other end")
        return
    one, other = (str(written.value).rpartition(".")[0] for written in (start, end))
    if one == other and one in by_id and by_id[one].subject == "bus_bar":
        problem = f"{shown(str(end.value))} is on the bus bar it starts at, which joins its studs"
        notes.add(end.place, f"{path}.to", problem, "write its other end, or remove the run")


def _end(
    path: str, written: Written, by_id: dict[str, Instance], refused: set[str], notes: Notes
) -> bool:
    """True when the end is a terminal of a listed part; what is wrong is noted."""
    text = str(written.value)
    part, dot, terminal = text.rpartition(".")
    if not dot:
        advice = "write part.terminal, such as pack-a.plus"
        notes.add(written.place, path, f"{shown(text)} is no terminal", advice)
        return False
    target = by_id.get(part)
    if target is None:
        if part not in refused:
            problem = f"{shown(text)} is on no listed part"
            notes.add(written.place, path, problem, _near_part(part, terminal, by_id))
        return False
    found = _wrong_terminal(text, target, part, terminal)
    if found is not None:
        notes.add(written.place, path, *found)
        return False
    count = target.values.get("count")
    if target.subject == "pack" and count is not None and count.value != 1.0:
        problem = f"{shown(text)} is on {count.text} packs at once"
        notes.add(written.place, path, problem, "list each pack with its own id")
        return False
    return True


def _near_part(part: str, terminal: str, by_id: dict[str, Instance]) -> str:
    """The end with the id that was meant, or with its terminals where it has no such one."""
    known = [one.id for one in by_id.values() if one.subject in TERMINALS]
    near = _bare(nearest(part, known))
    if not near:
        return "write the id of a listed part"
    target = by_id[near]
    if _wrong_terminal("", target, near, terminal) is None:
        return f'write "{near}.{terminal}"'
    return f'write "{near}." and one of: {_listed(target)}'


def _wrong_terminal(
    text: str, target: Instance, part: str, terminal: str
) -> tuple[str, str] | None:
    """What is wrong with a terminal of a listed part and what to write, or None."""
    kind = a_part(target.subject)
    if target.subject not in TERMINALS:
        return f"{shown(text)}: {kind} has no terminal for a cable", "write another part"
    named = terminal in TERMINALS[target.subject]
    stud = _STUD.fullmatch(terminal) if target.subject == "bus_bar" else None
    if named and (stud is None or int(stud[1]) <= studs_of(target)):
        return None
    if named:
        problem = f"{shown(text)}: the studs of this bus bar end at stud-{studs_of(target)}"
        return problem, f"write one of: {_listed(target)}"
    near = "" if stud else _bare(nearest(terminal, TERMINALS[target.subject]))
    problem = f"{shown(text)} is no terminal of {kind}"
    return problem, f'write "{part}.{near}"' if near else f"terminals of it are: {_listed(target)}"


def studs_of(bar: Instance) -> int:
    """Studs of a bus bar that a run can end at: as stated, at most those that have a name."""
    stated, named = bar.values.get("studs"), len(TERMINALS["bus_bar"])
    return min(int(float(stated.value)) if stated else named, named) or named


def _listed(target: Instance) -> str:
    if target.subject == "bus_bar":
        return f"stud-1 to stud-{studs_of(target)}"
    return ", ".join(TERMINALS[target.subject])


def _bare(advice: str) -> str:
    """The word in the advice of `nearest`."""
    return advice.removeprefix('write "').removesuffix('"')
