"""Builds side by side: their risks, findings, open questions and figures. No single score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.facts.origins import Fact
from advisor.findings.report_model import Finding, Screening
from advisor.findings.risk import Level
from advisor.findings.wording import fact_text
from advisor.sheet.build import Instance
from advisor.sheet.prices import Price, price_of
from advisor.vocabulary import VOCABULARY

_FIGURES = (
    ("battery", "nominal_voltage"),
    ("battery", "energy"),
    ("battery", "discharge_continuous"),
    ("battery", "mass"),
    ("vehicle", "mass_change"),
    ("vehicle", "mass_loaded"),
    ("battery", "range_warm"),
    ("battery", "range_cold"),
    ("battery", "charge_after_day"),
    ("vehicle", "top_speed_predicted"),
    ("vehicle", "grade_start_predicted"),
    ("vehicle", "stopping_distance"),
    ("charger", "charge_time"),
    ("charger", "day_charge_time"),
    ("battery", "days_to_cutoff"),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One thing compared; a text for each build."""

    name: str
    texts: tuple[str, ...]

    @property
    def differs(self) -> bool:
        return len(set(self.texts)) > 1


@dataclass(frozen=True, slots=True)
class Comparison:
    """The builds by name, the rows about them, and the findings that not all of them have.

    `only` holds, for each such finding, its title, rule, part and level, and which builds have it.
    `parts` are the parts that differ, with how. `needs` says for each build what its findings ask
    for that the first build does not need.
    """

    names: tuple[str, ...]
    rows: tuple[Row, ...]
    only: tuple[tuple[Finding, tuple[bool, ...]], ...]
    parts: tuple[Row, ...]
    needs: tuple[Row, ...]


def compare(names: Sequence[str], found: Sequence[Screening], system: str) -> Comparison:
    """Screenings side by side, in their order."""
    rows = [
        Row("verdict", tuple(_verdict(one) for one in found)),
        *(
            Row(f"{level.word} risk", tuple(str(_count(one, level)) for one in found))
            for level in (Level.HIGH, Level.SERIOUS, Level.MEDIUM, Level.LOW)
        ),
        Row("open questions", tuple(str(len(one.questions)) for one in found)),
        Row("due checks undecided", tuple(str(one.counts.undetermined) for one in found)),
        *(_figure(found, subject, name, system) for subject, name in _FIGURES),
        Row("price of the parts that state one", tuple(_price(one) for one in found)),
        Row("parts without a price", tuple(_unpriced(one) for one in found)),
        Row("connectors to handle daily", tuple(_plugs(one) for one in found)),
    ]
    needs = tuple(_needs(found))
    return Comparison(tuple(names), tuple(rows), tuple(_only(found)), tuple(_parts(found)), needs)


def _verdict(one: Screening) -> str:
    worst = max((finding.level for finding in one.all_findings()), default=None)
    if worst is not None and worst > Level.NOTICE:
        return f"{worst.word} risk"
    found = "nothing found" if worst is None else "only good to know"
    undecided = one.counts.undetermined
    return f"{found}, but {undecided} undecided: no all-clear" if undecided else found


def _count(one: Screening, level: Level) -> int:
    return sum(1 for finding in one.all_findings() if finding.level == level)


def _figure(found: Sequence[Screening], subject: str, name: str, system: str) -> Row:
    texts = []
    for one in found:
        facts = one.facts
        known = [facts.fact(part, name) for part in facts.instances(subject)]
        values = [fact for fact in known if isinstance(fact, Fact)]
        texts.append(" and ".join(fact_text(fact, system) for fact in values) or "not known")
    return Row(VOCABULARY.attributes[f"{subject}.{name}"].meaning, tuple(texts))


def _priced(one: Screening) -> list[Instance]:
    """The parts that have a price, stated or not."""
    subjects = VOCABULARY.subjects
    return [
        part
        for part in one.facts.build.instances
        if any(attribute.name == "price" for attribute in subjects[part.subject].attributes)
    ]


def _price(one: Screening) -> str:
    """The sum of the stated prices; one for each currency, for nothing is converted."""
    sums: dict[str, float] = {}
    for part in _priced(one):
        price = price_of(part)
        if price is not None:
            sums[price.currency] = sums.get(price.currency, 0.0) + price.amount
    return " and ".join(str(Price(sums[one], one)) for one in sorted(sums)) or "not known"


def _unpriced(one: Screening) -> str:
    parts = _priced(one)
    return f"{sum(price_of(part) is None for part in parts)} of {len(parts)}"


def _needs(found: Sequence[Screening]) -> list[Row]:
    """What the findings of each build ask for that the first one does not need, by part."""
    have = [
        {(one.rule.name, one.about): one for one in each.all_findings() if one.level > Level.NOTICE}
        for each in found
    ]
    rows = []
    for key in dict.fromkeys(key for own in have[1:] for key in own):
        if key in have[0]:
            continue
        one = next(own[key] for own in have if key in own)
        texts = tuple(_advice(own[key]) if key in own else "-" for own in have)
        rows.append((-one.level, Row(f"{one.part} ({one.rule.name})", texts)))
    return [row for _, row in sorted(rows, key=lambda one: one[0])]


def _advice(one: Finding) -> str:
    """The first fix that changes something, or the first advice."""
    tested = [text for fix, text in zip(one.rule.fixes, one.fixes, strict=True) if fix.changes]
    return next(iter((*tested, *one.fixes)), "no way out is listed")


def _plugs(one: Screening) -> str:
    """Inlets, and connectors of the charge circuit."""
    facts = one.facts
    plugs = len(facts.instances("inlet"))
    for part in facts.instances("connector"):
        circuit = facts.fact(part, "circuit")
        plugs += isinstance(circuit, Fact) and circuit.value == "charge"
    return str(plugs) if plugs or facts.mentioned("inlet") else "not known"


def _only(found: Sequence[Screening]) -> list[tuple[Finding, tuple[bool, ...]]]:
    """Findings that some have and others do not, the gravest first."""
    listed: dict[tuple[str, str], Finding] = {}
    have: list[set[tuple[str, str]]] = []
    for one in found:
        own = {(finding.rule.name, finding.about): finding for finding in one.all_findings()}
        listed |= {key: finding for key, finding in own.items() if key not in listed}
        have.append(set(own))
    differing = [
        (finding, tuple(key in own for own in have))
        for key, finding in listed.items()
        if not all(key in own for own in have)
    ]
    return sorted(differing, key=lambda one: (-one[0].level, one[0].rule.name, one[0].about))


def _parts(found: Sequence[Screening]) -> list[Row]:
    """Parts that are not the same in all builds, by what is written about them."""
    builds = [{one.id: one for one in each.facts.build.instances} for each in found]
    rows = []
    for name in dict.fromkeys(name for build in builds for name in build):
        have = [build.get(name) for build in builds]
        written = [_values(one) for one in have]
        if all(one == written[0] for one in written):
            continue
        keys = [
            key
            for key in dict.fromkeys(key for one in written for key in one)
            if len({one.get(key) for one in written}) > 1
        ]
        pairs = zip(have, written, strict=True)
        rows.append(Row(name, tuple(_differences(one, own, keys) for one, own in pairs)))
    return rows


def _values(one: Instance | None) -> dict[str, str]:
    if one is None:
        return {}
    values = {name: value.text for name, value in one.values.items()}
    return values | {f"set {name}": value.text for name, value in one.settings.items()}


def _differences(one: Instance | None, values: dict[str, str], keys: list[str]) -> str:
    if one is None:
        return "not there"
    kept = [f"{key} {values[key]}" for key in keys if key in values]
    more = f" and {len(kept) - 6} more" if len(kept) > 6 else ""
    return ", ".join(kept[:6]) + more or "less is said"


__all__ = ["Comparison", "Row", "compare"]
