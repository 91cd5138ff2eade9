"""Ends of cable runs: each names a listed part and a terminal that such a part has."""

from __future__ import annotations

from advisor.problems import nearest, shown
from advisor.sheet.build import Instance, Written
from advisor.sheet.notes import Notes
from advisor.vocabulary import TERMINALS, VOCABULARY


def check_ends(run: Instance, by_id: dict[str, Instance], refused: set[str], notes: Notes) -> None:
    """Note what is wrong with the ends of one run; `refused` ids were told of already."""
    ends = [(name, run.values[name]) for name in ("from", "to") if name in run.values]
    for name, written in ends:
        _end(f"wiring[{run.id}].{name}", written, by_id, refused, notes)
    if len(ends) == 2 and ends[0][1].value == ends[1][1].value:
        place = ends[1][1].place
        notes.add(
            place, f"wiring[{run.id}].to", "the run ends where it starts", "write its other end"
        )


def _end(
    path: str, written: Written, by_id: dict[str, Instance], refused: set[str], notes: Notes
) -> None:
    text = str(written.value)
    part, dot, terminal = text.rpartition(".")
    if not dot:
        notes.add(
            written.place,
            path,
            f"{shown(text)} is no terminal",
            "write part.terminal, such as pack-a.plus",
        )
        return
    target = by_id.get(part)
    if target is None:
        if part not in refused:
            known = [one.id for one in by_id.values() if one.subject in TERMINALS]
            near = nearest(part, known).removeprefix('write "').removesuffix('"')
            advice = f'write "{near}.{terminal}"' if near else "write the id of a listed part"
            notes.add(written.place, path, f"{shown(text)} is on no listed part", advice)
        return
    terminals = list(TERMINALS.get(target.subject, ()))
    if terminal in terminals:
        return
    meaning = VOCABULARY.subjects[target.subject].meaning
    if not terminals:
        problem = f"{shown(text)}: a {meaning} has no terminal for a cable"
        notes.add(written.place, path, problem, "write another part")
        return
    near = nearest(terminal, terminals).removeprefix('write "').removesuffix('"')
    listed = ", ".join(terminals)
    advice = f'write "{part}.{near}"' if near else f"terminals of it are: {listed}"
    notes.add(written.place, path, f"{shown(text)} is no terminal of a {meaning}", advice)
