"""What would decide an open check, in words: a fact to find out, or what to draw in the plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

from advisor.engine import Judgement
from advisor.facts import DERIVATIONS
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Fact, Unknown
from advisor.findings.report_model import Screening
from advisor.findings.wording import part_text
from advisor.rules.tree import names_in
from advisor.rules.values import Verdict
from advisor.vocabulary import TERMINALS, VOCABULARY, Kind, Name
from advisor.wiring.plan import Plan, is_wired, plan_of
from advisor.wiring.topology import topology_of

_PLAN = (
    "There is no plan of the cables. Draw it: list each cable under `wiring:`, from which terminal "
    "to which, its size, its length and where it lies."
)
_SHORTED = (
    "The cables of the plan short a source, so nothing can be said of their currents. "
    "Mend that first."
)
_ENDS = "Say under `wiring:` from which terminal to which it goes."
_CIRCUIT = frozenset(TERMINALS) - {"vehicle", "motor"} | {"run"}
_THROUGH = ("in", "out")
_FED = ("plus", "minus", "in-plus", "in-minus")


class Asking:
    """Finds the words for the open checks of a screening."""

    def __init__(self, screening: Screening) -> None:
        self._facts = screening.facts
        self._cases = BuildCases(screening.facts)
        self._asked = {one.key: one for one in screening.questions}
        self._wired = is_wired(screening.facts.build)

    @cached_property
    def _plan(self) -> Plan:
        return plan_of(self._facts)

    def words(self, one: Judgement) -> str:
        """What would decide a check: what to draw comes first, for it may decide it alone."""
        names = list(dict.fromkeys(self._names(one)))
        facts = {name: self._cases.fact(one.case, name) for name in names}
        if one.verdict is not Verdict.UNDETERMINED:
            return self._find_out(one) or self._state(one, facts)
        unknown = {name: fact for name, fact in facts.items() if isinstance(fact, Unknown)}
        unseen = [name for name, fact in unknown.items() if not fact.facts and _is_traced(name)]
        if not self._wired and (unseen or one.missing == {"run.present"}):
            return _PLAN
        told = [self._to_draw(one, unseen) if unseen else "", self._find_out(one)]
        if any(told):
            return " ".join(words for words in told if words)
        if unknown:
            return f"The sheet and its plan of the cables do not tell: {_meanings(unknown)}."
        return "; ".join(one.reasons) or "It needs more than one fact."

    def _find_out(self, one: Judgement) -> str:
        asked = [self._question(one, key) for key in sorted(one.missing)]
        return f"Find out: {'; '.join(asked)}." if asked else ""

    def _state(self, one: Judgement, facts: Mapping[Name, Fact | Unknown]) -> str:
        """What is only assumed under a verdict, where no fact is named that would replace it."""
        assumed = [n for n, fact in facts.items() if isinstance(fact, Fact) and fact.assumed]
        if assumed and not any(name.attribute.given for name in assumed):
            drawn = self._to_draw(one, assumed) if self._wired else _PLAN
            if drawn:
                return drawn
        if assumed:
            return f"It rests on an assumption about: {_meanings(assumed)}. State what it is."
        return "; ".join(one.reasons) or "It needs more than one fact."

    def _names(self, one: Judgement) -> Iterable[Name]:
        """The names that the condition of a rule reads, those of its texts left out."""
        for tree in (one.rule.applies, one.rule.when):
            for name in names_in(tree) if tree is not None else ():
                if name.attribute.path in VOCABULARY.attributes:
                    yield name

    # -- the plan ------------------------------------------------------------------------------

    def _to_draw(self, one: Judgement, traced: list[Name]) -> str:
        """What is missing in the plan for some values that only a plan gives."""
        drawn = {*self._plan.runs, *self._plan.motor_runs}
        if self._facts.subject_of(one.case) == "run" and one.case not in drawn:
            return _ENDS
        loose = [end for name in traced for end in self._ends(one, name)]
        loose = [end for end in dict.fromkeys(loose) if end not in self._plan.connected]
        if loose:
            many = " and ".join((", ".join(loose[:-1]), loose[-1]) if loose[1:] else loose)
            return f"In the plan no cable ends at {many}. Draw what does."
        topology = topology_of(self._plan)
        if not topology.solvable:
            return _SHORTED
        if self._is_true(one.case, "motor_on_battery"):
            return "It joins the motor to the battery past the controller. Mend that first."
        if self._is_true(one.case, "dead_end"):
            return "By the plan it serves nothing. Draw what it serves, or take it out."
        coil = next((c for c in self._plan.consumers if c.name == f"{one.case}:coil"), None)
        if coil is not None and not topology.closed.fed(coil.name):
            return "By the plan its coil gets no voltage. Draw what is missing."
        end = self._value(one.case, "loose_end")
        if isinstance(end, Fact):
            return f"By the plan it gets no voltage; look at {end.value}. Draw what is missing."
        return ""

    def _value(self, part: str, name: str) -> Fact | Unknown | None:
        has = VOCABULARY.attribute(self._facts.subject_of(part), name) is not None
        return self._facts.fact(part, name) if has else None

    def _is_true(self, part: str, name: str) -> bool:
        found = self._value(part, name)
        return isinstance(found, Fact) and found.value is True

    def _ends(self, one: Judgement, name: Name) -> list[str]:
        """The terminals that a value read off the plan hangs on."""
        key = self._cases.key(one.case, name)
        part, of = key if key is not None else (one.case, name.attribute.name)
        has = TERMINALS.get(self._facts.subject_of(part), ())
        if of == "fed_past_disconnect":
            switches = self._facts.instances("disconnect")
            if len(switches) == 1 and not topology_of(self._plan).has(group="disconnect"):
                return [f"{switches[0]}.{end}" for end in _THROUGH]
        if of.startswith("key_line"):
            wanted: tuple[str, ...] = ("key",)
        elif of.startswith("coil"):
            wanted = ("coil-plus", "coil-minus")
        elif of == "shorted" and "out-plus" in has:
            wanted = ("out-plus", "out-minus")
        elif "in" in has:
            wanted = _THROUGH
        else:
            wanted = _FED
        return [f"{part}.{end}" for end in wanted if end in has]

    # -- facts ---------------------------------------------------------------------------------

    def _question(self, one: Judgement, key: str) -> str:
        """A missing fact in words; its part is said where it is not that of the check."""
        found = self._asked.get(key)
        part, _, name = key.rpartition(".")
        if found is not None and found.attribute is None:
            return found.text.rstrip("?")
        attribute = VOCABULARY.attribute(self._facts.subject_of(part), name)
        words = attribute.meaning if attribute else key
        words = f"whether {words}" if attribute and attribute.kind is Kind.FLAG else words
        return words if part == one.case else f"{part_text(self._facts, part)}: {words}"


def _is_traced(name: Name) -> bool:
    """Whether only the plan of the cables gives a value: nobody states it, nothing derives it."""
    attribute = name.attribute
    subject = attribute.path.partition(".")[0]
    derived = (subject, attribute.name) in DERIVATIONS
    return subject in _CIRCUIT and not attribute.given and not derived


def _meanings(names: Iterable[Name]) -> str:
    return "; ".join(dict.fromkeys(one.attribute.meaning for one in names))


__all__ = ["Asking"]
