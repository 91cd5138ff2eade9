"""The smallest standard conductor and device for each run of a plan that meets every rule.

Sizes start from what the current and the device ask for, by the same derivations that the rules
read. Then the rules judge, and whatever a rule finds too small grows by one standard size, until no
rule that depends on a size is violated or a size is at its end. This is done twice: free, and with
what the sheet has kept where it is large enough. Judged by the Python evaluator; the sheet that
comes out is judged by both when it is screened.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from advisor.engine import Judge, Judgement
from advisor.facts import Facts, facts_of
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Fact, Key, Unknown, Value
from advisor.rules.rule import Rule, RuleBook
from advisor.rules.values import Verdict
from advisor.tables.reader import table
from advisor.units import parse_area

AWG = ("18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "3/0", "4/0")
METRIC = ("0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120")
"""IEC 60228 and AWG sizes as sold for cable; 3 and 5 AWG are left out, hardly anybody has them."""

_BLADE = (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
# ISO 8820-3, from memory
_SMALL = (1.0, 3.0, 6.0, 10.0)  # NEC 240.6(A), further fuse ratings
_BY_GAUGE = {"gauge", "ampacity", "device_allowed", "drop", "temperature", "withstand_time"}
_BY_RATING = {"current_needed", "current_continuous", "opening_time_peak"}
_BY_PATH = {"battery.traction_drop", "controller.supply_voltage_peak"}
_BRANCHES = ("control", "precharge")
_LARGEST_OF_A_BRANCH = 30.0  # A; a larger device is no branch fuse. Common practice, no source
_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class Size:
    """One part: what the sheet has, the smallest that does and why, and what fits the rest.

    `fitting` is what the sheet has where that is large enough beside everything else, else the
    smallest size that is. All as a person writes them.
    """

    part: str
    attribute: str
    written: str
    smallest: str
    reason: str
    fitting: str

    @property
    def changes(self) -> bool:
        """The sheet has no size here, or one that does not do."""
        return self.fitting != self.written


@dataclass(frozen=True, slots=True)
class Sizing:
    """All proposals, the parts for which none can be made, and what sizes do not mend.

    `left` are the rules about sizes that stay violated with `fitting` in place.
    """

    sizes: tuple[Size, ...]
    undecided: Mapping[str, str]
    left: tuple[Judgement, ...]


@dataclass
class _Ladder:
    """Standard sizes of one part, where it stands, and why it is no smaller."""

    part: str
    attribute: str
    names: Sequence[str]
    values: Sequence[float]
    at: int = 0
    why: str = "the smallest there is"

    @property
    def value(self) -> float:
        return self.values[self.at]

    @property
    def name(self) -> str:
        return self.names[self.at]

    def reach(self, enough: float, why: str) -> None:
        """Grow to the first size that is enough."""
        while self.value < enough * (1 - 1e-9) and self.grow(why):
            pass

    def grow(self, why: str) -> bool:
        """One size larger; False at the largest."""
        if self.at + 1 >= len(self.values):
            return False
        self.at += 1
        self.why = why
        return True


def size(facts: Facts, book: RuleBook) -> Sizing:
    """Proposals for every run and device of the plan, by all rules that depend on a size."""
    free = _Search(facts, book)
    free.run()
    kept = _Search(facts, book, free.devices)
    left = kept.run()
    sizes = []
    for ladder in (*free.devices.values(), *free.runs.values()):
        instance = facts.instance(ladder.part)
        written = instance.values.get(ladder.attribute) if instance else None
        sizes.append(
            Size(
                ladder.part,
                ladder.attribute,
                written.text if written else "",
                ladder.name,
                ladder.why,
                (kept.runs | kept.devices)[ladder.part].name,
            )
        )
    return Sizing(tuple(sizes), kept.undecided, tuple(left))


@dataclass
class _Search:
    """`smallest` are the devices of a free search: what the sheet has is then kept."""

    facts: Facts
    book: RuleBook
    smallest: Mapping[str, _Ladder] | None = None
    runs: dict[str, _Ladder] = field(default_factory=dict)
    devices: dict[str, _Ladder] = field(default_factory=dict)
    undecided: dict[str, str] = field(default_factory=dict)

    @cached_property
    def _bare(self) -> Facts:
        """The build without its plan: ampacity and what it allows need none."""
        return facts_of(self.facts.build)

    @cached_property
    def _judge(self) -> Judge:
        chosen = [
            rule
            for rule in self.book.rules
            if rule.hazard is not None and not rule.concluded and _depends_on_size(rule)
        ]
        return Judge(replace(self.book, rules=tuple(chosen)), use_engine=False)

    def run(self) -> list[Judgement]:
        """Grow everything that is too small; what stays violated comes back."""
        for part in (*self.facts.instances("fuse"), *self.facts.instances("breaker")):
            self._start_device(part)
        awg = _speaks_awg(self.facts)
        for part in self.facts.instances("run"):
            self._start_run(part, awg)
        for _ in range(_ROUNDS):
            trial = self._trial()
            fitted = [self._fit(trial, ladder) for ladder in self.runs.values()]
            if any(fitted):
                continue
            violated = self._violated(trial)
            if not (self._grow(trial, violated) or self._lower(trial, violated)):
                break
        self._needing_devices(trial)
        return violated

    # -- where the search starts ---------------------------------------------------------------

    def _start_device(self, part: str) -> None:
        needed = self.facts.fact(part, "current_continuous")
        if isinstance(needed, Unknown):
            self.undecided[part] = _missing(needed)
            return
        blade = _word(self.facts, part, "kind") == "blade"
        ratings = _BLADE if blade else (*_SMALL, *table("standard-ratings").numbers("rating"))
        ladder = _Ladder(part, "rating", [f"{one:g} A" for one in ratings], ratings)
        ladder.reach(1.25 * _number(needed), f"125 % of {_number(needed):.3g} A for long")
        if self.smallest is not None and part in self.smallest:
            ladder = self._kept(ladder, self.smallest[part].value)
        self.devices[part] = ladder

    def _start_run(self, part: str, awg: bool) -> None:
        facts = self.facts
        current = facts.fact(part, "current_carried")
        circuit = _word(facts, part, "circuit")
        if isinstance(current, Unknown) and circuit not in ("control", "precharge"):
            self.undecided[part] = _missing(current)
            return
        system = _word(facts, part, "size_system")
        by_awg = awg if system in (None, "unknown") else system != "metric"
        sizes, unit = (AWG, "AWG") if by_awg else (METRIC, "mm2")
        names = [f"{one} {unit}" for one in sizes]
        areas = [parse_area(one).value for one in names]
        ladder = _Ladder(part, "gauge", names, areas)
        self.runs[part] = self._kept(ladder, 0.0) if self.smallest is not None else ladder

    def _kept(self, ladder: _Ladder, enough: float) -> _Ladder:
        """What the sheet has as the first size, where it is large enough; then larger ones."""
        instance = self.facts.instance(ladder.part)
        written = instance.values.get(ladder.attribute) if instance else None
        if written is None or not isinstance(written.value, float) or written.value < enough:
            return ladder
        larger = [
            (name, value)
            for name, value in zip(ladder.names, ladder.values, strict=True)
            if value > written.value * (1 + 1e-6)
        ]
        names = [written.text, *(name for name, _ in larger)]
        return _Ladder(
            ladder.part, ladder.attribute, names, [written.value, *(one for _, one in larger)]
        )

    # -- one round -----------------------------------------------------------------------------

    def _trial(self) -> Facts:
        ladders = (*self.runs.values(), *self.devices.values())
        values: dict[Key, Value] = {(one.part, one.attribute): one.value for one in ladders}
        return self.facts.with_values("proposed size", values)

    def _fit(self, trial: Facts, ladder: _Ladder) -> bool:
        """Grow a run until it carries its current and suits its device; True if it grew."""
        part, began = ladder.part, ladder.at
        carried, device = trial.fact(part, "current_carried"), trial.fact(part, "device_rating")
        circuit, thin = _word(trial, part, "circuit"), self._is_thin(trial, part)
        known: dict[Key, Value] = {} if circuit is None else {(part, "circuit"): circuit}
        while True:
            trying = known | {(part, "gauge"): ladder.value}
            one = self._bare.with_values("proposed size", trying)
            stands, allowed = one.fact(part, "ampacity"), one.fact(part, "device_allowed")
            if _exceeds(carried, stands):
                why = f"carries {_number(carried):.3g} A for long"
            elif _exceeds(device, allowed) and not thin:
                why = f"its device is {_number(device):.4g} A"
            else:
                break
            if not ladder.grow(why):
                break
        return ladder.at > began

    @staticmethod
    def _is_thin(trial: Facts, part: str) -> bool:
        """A lead of a control circuit behind a device that is none of a branch, nor at one."""
        device = trial.fact(part, "device_rating")
        if _word(trial, part, "circuit") not in _BRANCHES:
            return False
        ends = [_word(trial, part, end) or "" for end in ("from", "to")]
        subjects = {trial.subject_of(end.rpartition(".")[0]) for end in ends}
        return _number(device) > _LARGEST_OF_A_BRANCH and not subjects & {"fuse", "breaker"}

    def _needing_devices(self, trial: Facts) -> None:
        for part in self.runs:
            device, allowed = trial.fact(part, "device_rating"), trial.fact(part, "device_allowed")
            if self._is_thin(trial, part) and _exceeds(device, allowed) and not _short(trial, part):
                name = _word(trial, part, "device_name")
                words = (
                    f"a device of its own where it leaves the circuit of {name}, or at most 7 in"
                )
                self.undecided[part] = words

    def _lower(self, trial: Facts, violated: Iterable[Judgement]) -> bool:
        """Take the smallest device in place of a kept one that no conductor here can follow."""
        found = False
        for one in violated:
            name = _word(trial, one.case, "device_name") if one.case in self.runs else None
            best = (self.smallest or {}).get(name or "")
            if name is None or best is None or self.devices[name].value <= best.value:
                continue
            self.devices[name] = best
            found = True
        return found

    def _violated(self, trial: Facts) -> list[Judgement]:
        return [
            one for one in self._judge.judge(BuildCases(trial)) if one.verdict is Verdict.VIOLATED
        ]

    def _grow(self, trial: Facts, violated: Iterable[Judgement]) -> bool:
        grown: set[str] = set()
        for one in violated:
            reads, paths = _read_by(one.rule)
            ladder: _Ladder | None = None
            if one.case in self.runs and reads & _BY_GAUGE:
                thin = self._is_thin(trial, one.case) and not _short(trial, one.case)
                if not (thin and reads & {"device_allowed", "withstand_time"}):
                    ladder = self.runs[one.case]
            elif one.case in self.devices and reads & _BY_RATING:
                ladder = self.devices[one.case]
            elif paths & _BY_PATH:
                ladder = self._weakest(trial)
            if ladder is None or ladder.part in grown:
                continue
            if ladder.grow(f"else {one.rule.title[0].lower()}{one.rule.title[1:]}"):
                grown.add(ladder.part)
        return bool(grown)

    def _weakest(self, trial: Facts) -> _Ladder | None:
        """The traction run that loses the most voltage and can still grow."""
        lost = [
            (_number(trial.fact(part, "drop")), part)
            for part, one in self.runs.items()
            if _word(trial, part, "circuit") == "traction" and one.at + 1 < len(one.values)
        ]
        return self.runs[max(lost)[1]] if lost else None


def _read_by(rule: Rule) -> tuple[set[str], set[str]]:
    """Names and paths of the attributes in the conditions of a rule."""
    return (
        {name.attribute.name for name in rule.reads},
        {name.attribute.path for name in rule.reads},
    )


def _depends_on_size(rule: Rule) -> bool:
    reads, paths = _read_by(rule)
    if paths & _BY_PATH:
        return True
    of_run = "run" in rule.about and bool(reads & _BY_GAUGE)
    return of_run or bool(reads & _BY_RATING)


def _speaks_awg(facts: Facts) -> bool:
    systems = [_word(facts, run, "size_system") for run in facts.instances("run")]
    return systems.count("metric") * 2 <= len([one for one in systems if one is not None])


def _short(facts: Facts, part: str) -> bool:
    """A thin lead no longer than is allowed without a device of its own."""
    if _word(facts, part, "circuit") != "precharge":
        return False
    length, allowed = facts.fact(part, "thin_length"), facts.fact(part, "unprotected_allowed")
    return not _exceeds(length, allowed) and isinstance(length, Fact)


def _exceeds(value: Fact | Unknown, limit: Fact | Unknown) -> bool:
    known = isinstance(value, Fact) and isinstance(limit, Fact)
    return known and _number(value) > _number(limit) * (1 + 1e-9)


def _number(found: Fact | Unknown) -> float:
    value = found.value if isinstance(found, Fact) else 0.0
    return float(value) if isinstance(value, float | int) else 0.0


def _word(facts: Facts, part: str, name: str) -> str | None:
    found = facts.fact(part, name)
    return str(found.value) if isinstance(found, Fact) else None


def _missing(found: Unknown) -> str:
    return ", ".join(sorted(found.facts)) or found.reason or "its current is not known"
