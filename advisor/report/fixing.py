"""The fixes that were tried, and the smallest set of them, as text and as data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from advisor.engine import Judgement
from advisor.facts.origins import Fact
from advisor.findings.risk import Level, level_of
from advisor.findings.wording import fact_text
from advisor.fixing.offers import Offer
from advisor.fixing.refusing import Refused
from advisor.fixing.trials import Plan, Trial
from advisor.fixing.workshop import Outcome
from advisor.report.explanation import Lines
from advisor.report.sentences import CAUTIONS

FORMAT = "conversion-advisor-fixes"
VERSION = "1.1"


def render_fixes(
    title: str,
    found: Sequence[Trial],
    plan: Plan | None,
    level: Level,
    system: str,
    width: int,
    undecided: int = 0,
    refused: Sequence[Refused] = (),
) -> str:
    """Every offered fix with what it does, then the smallest set, then what is refused.

    `undecided` is the number of checks that are due and that nobody can decide yet.
    """
    page = Lines(width, markdown=False)
    page.heading(f"Fixes tried on: {title}")
    if not found:
        page.para("No violated check offers a change of the sheet that can be tried.")
    if undecided:
        page.para(
            f"{counted(undecided, 'check')} that {'is' if undecided == 1 else 'are'} due cannot be "
            "decided yet; no fix answers a question. See them with advisor screen."
        )
    good = [one for one in found if one.clears and not one.harms]
    short = [one for one in found if not one.clears and not one.harms]
    bad = [one for one in found if one.harms]
    for heading, listed in (
        ("These clear their finding", good),
        ("These alone are not enough", short),
        ("These break something as bad; think twice", bad),
    ):
        if listed:
            page.heading(f"{heading} ({len(listed)})")
        for one in listed:
            _fix(page, one, system)
    if plan is not None:
        _plan(page, plan, level, system)
    if refused:
        page.heading(f"Refused, because the sheet would be invalid ({len(refused)})")
    for no in refused:
        page.para(f"{no.offer.name}: {no.offer.text}", 0, bullet=True)
        page.para(no.reason, 1)
    page.heading("How to go on")
    page.para(
        "Each was put into the build and all rules were judged again. `advisor apply SHEET NAME` "
        "writes a new sheet with it. A number in a sheet protects nobody: the part must be fitted "
        "or set that way, and measured."
    )
    page.para(CAUTIONS[0])
    return page.text()


def _fix(page: Lines, one: Trial, system: str) -> None:
    page.para(f"{one.offer.name}: {one.offer.text}", 0, bullet=True)
    page.para(f"writes {_written(one)}", 1)
    outcome = one.outcome
    own = (one.offer.judgement.rule.name, one.offer.judgement.case)
    others = [two for two in outcome.cleared if (two.rule.name, two.case) != own]
    if one.clears:
        also = f", and with it {named_checks(others)}" if others else ""
        page.para(f"clears it{also}", 1)
    elif others:
        page.para(f"clears only {named_checks(others)}", 1)
    else:
        page.para("clears nothing alone", 1)
    if outcome.broken:
        page.para(f"BREAKS {named_checks(outcome.broken)}", 1)
    if outcome.opened:
        page.para(f"leaves open {named_checks(outcome.opened)}", 1)
    for words in _effects(outcome.effects, system):
        page.para(words, 1)


def _written(one: Trial) -> str:
    return ", ".join(f"{part}.{name}: {text}" for (part, name), (text, _) in one.variant.items())


def named_checks(listed: Iterable[Judgement], most: int = 6) -> str:
    all_of_them = sorted(listed, key=lambda one: (-level_of(one.rule), one.rule.name, one.case))
    words = [
        f"{one.rule.name} on {one.case} ({level_of(one.rule).word})" for one in all_of_them[:most]
    ]
    more = len(all_of_them) - most
    return ", ".join(words) + (f" and {more} more" if more > 0 else "")


def _effects(effects: Iterable[tuple[Fact, Fact]], system: str) -> list[str]:
    return [
        f"{new.attribute.meaning}: {before} before, {after} after"
        for old, new in effects
        if (before := fact_text(old, system)) != (after := fact_text(new, system))
    ]


def _plan(page: Lines, plan: Plan, level: Level, system: str) -> None:
    page.heading(f"The smallest set for {level.word} risk and above")
    if not plan.chosen:
        page.para("None of the offered fixes is needed or of use for that.")
    for one in plan.chosen:
        page.para(f"{one.offer.name}: writes {_written(one)}", 0, bullet=True)
    if plan.chosen:
        sure = (
            "No smaller set of the offered fixes does it."
            if plan.proved and not plan.left
            else "It is the best found."
            if not plan.proved
            else "No set of the offered fixes leaves less."
        )
        who = "Together they clear" if len(plan.chosen) > 1 else "It clears"
        page.para(f"{who} {counted(len(plan.outcome.cleared), 'finding')}. {sure}")
        for words in _effects(plan.outcome.effects, system):
            page.para(words)
    if plan.left:
        page.para(f"It leaves {named_checks(plan.left)}.")
    if plan.outcome.opened:
        page.para(f"Nobody can decide any more: {named_checks(plan.outcome.opened, 20)}.")
    if plan.out_of_reach:
        page.heading(f"No offered fix clears these ({len(plan.out_of_reach)})")
        page.para("They need another part, other cables or work that a sheet cannot show.")
        for left in sorted(plan.out_of_reach, key=lambda one: (-level_of(one.rule), one.rule.name)):
            words = f"{left.rule.title} ({left.rule.name}, {left.case})"
            page.para(words, 0, bullet=True)


def render_outcome(one: Outcome, system: str, width: int) -> str:
    """What fixes do that are applied together: cleared, broken, left open, figures."""
    page = Lines(width, markdown=False)
    page.heading("What this does")
    words = named_checks(one.cleared, 20) if one.cleared else "nothing"
    page.para(f"clears {words}", 0, bullet=True)
    if one.broken:
        page.para(f"BREAKS {named_checks(one.broken, 20)}", 0, bullet=True)
    if one.opened:
        page.para(f"leaves open {named_checks(one.opened, 20)}", 0, bullet=True)
    for effect in _effects(one.effects, system):
        page.para(effect, 0, bullet=True)
    return page.text()


def counted(number: int, word: str) -> str:
    """`1 finding`, `2 findings`."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def fixes_data(
    found: Sequence[Trial], plan: Plan | None, level: Level, refused: Sequence[Refused] = ()
) -> dict[str, Any]:
    """The same as data."""
    data: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "fixes": [_fix_data(one) for one in found],
        "refused": [{**_offer_data(one.offer), "reason": one.reason} for one in refused],
    }
    if plan is not None:
        data["smallest"] = {
            "level": level.word,
            "fixes": [one.offer.name for one in plan.chosen],
            "proved": plan.proved,
            "looked_at": plan.looked_at,
            "left": pairs(plan.left),
            "out_of_reach": pairs(plan.out_of_reach),
            **_outcome(plan.outcome),
        }
    return data


def _fix_data(one: Trial) -> dict[str, Any]:
    return {
        **_offer_data(one.offer),
        "writes": {f"{part}.{name}": text for (part, name), (text, _) in one.variant.items()},
        "clears": one.clears,
        "harms": one.harms,
        **_outcome(one.outcome),
    }


def _offer_data(one: Offer) -> dict[str, Any]:
    return {
        "name": one.name,
        "rule": one.judgement.rule.name,
        "about": one.judgement.case,
        "text": one.text,
    }


def _outcome(one: Outcome) -> dict[str, Any]:
    return {
        "cleared": pairs(one.cleared),
        "broken": pairs(one.broken),
        "opened": pairs(one.opened),
        "effects": [
            {"key": f"{old.instance}.{old.attribute.name}", "before": old.value, "after": new.value}
            for old, new in one.effects
        ],
    }


def pairs(listed: Iterable[Judgement]) -> list[dict[str, str]]:
    return [
        {"rule": one.rule.name, "about": one.case, "level": level_of(one.rule).word}
        for one in listed
    ]


__all__ = ["fixes_data", "named_checks", "pairs", "render_fixes"]
