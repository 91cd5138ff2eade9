"""Made rules on made rows: three evaluators agree, and what more or less knowledge may change."""

from __future__ import annotations

import random
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.engine import Judge, Verdict
from tests.rules.making import EVERY_NAME, Cases, Maker, book_of, judged, rule_text, written

V, S, U, N = Verdict.VIOLATED, Verdict.SATISFIED, Verdict.UNDETERMINED, Verdict.NOT_APPLICABLE
ROUNDS, RULES, ROWS = 30, 48, 24


def expected(applies, when, row) -> Verdict:
    if applies is not None:
        true, false = judged(applies, row)
        if false:
            return N
        if not true:
            return U
    true, false = judged(when, row)
    return V if true else S if false else U


def made_book(folder: Path, chance: random.Random):
    """A book of made rules, with the made conditions by rule name."""
    maker, plain = Maker(chance), Maker(chance, known_tests=False)
    made = {
        f"rule-{number}": (
            plain.condition(1) if chance.random() < 0.3 else None,
            maker.condition(3),
        )
        for number in range(RULES)
    }
    texts = [
        rule_text(
            name,
            written(when),
            applies=written(applies) if applies else "",
            more="quiet_when_unknown: It is made up.",
        )
        for name, (applies, when) in made.items()
    ]
    return book_of(folder, *texts), made, maker


@given(seed=st.integers(0, 2**32))
@settings(
    max_examples=ROUNDS,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_both_evaluators_agree_with_each_other_and_with_plain_truth(
    seed: int, tmp_path: Path
) -> None:
    """30 rounds of 48 made rules on 24 rows: 34,560 verdicts by three evaluators."""
    chance = random.Random(seed)
    book, made, maker = made_book(tmp_path, chance)
    rows = {f"c{number}": maker.row(chance.choice((0.0, 0.1, 0.5))) for number in range(ROWS)}
    judgements = Judge(book).judge(Cases(rows))  # raises when the two evaluators differ
    assert len(judgements) == RULES * ROWS
    for one in judgements:
        wanted = expected(*made[one.rule.name], rows[one.case])
        assert one.verdict is wanted, (one.rule.when_text, rows[one.case])


def test_the_property_test_gives_the_stated_number_of_verdicts() -> None:
    assert ROUNDS * RULES * ROWS >= 20_000


@given(seed=st.integers(0, 2**32))
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_more_information_never_makes_a_decided_check_undetermined(
    seed: int, tmp_path: Path
) -> None:
    """Without `is known`, a decided verdict stays when facts are added."""
    chance = random.Random(seed)
    maker = Maker(chance, known_tests=False)
    texts = [
        rule_text(
            f"rule-{number}",
            written(maker.condition(3)),
            applies=written(maker.condition(1)) if chance.random() < 0.3 else "",
        )
        for number in range(16)
    ]
    judge = Judge(book_of(tmp_path, *texts))
    full = maker.row(0.1)
    rows = {"c0": full}
    names = list(full)
    chance.shuffle(names)
    for number, name in enumerate(names, 1):
        less = dict(rows[f"c{number - 1}"])
        del less[name]
        rows[f"c{number}"] = less
    found = {(one.rule.name, one.case): one.verdict for one in judge.judge(Cases(rows))}
    open_or_bad = []
    for number in range(len(rows)):
        verdicts = [found[f"rule-{rule}", f"c{number}"] for rule in range(16)]
        open_or_bad.append(sum(one in (V, U) for one in verdicts))
        if number:
            for rule, less_known in enumerate(verdicts):
                more_known = found[f"rule-{rule}", f"c{number - 1}"]
                assert less_known is U or less_known is more_known
    assert open_or_bad == sorted(open_or_bad)  # removing a fact never reduces them


@given(seed=st.integers(0, 2**32))
@settings(
    max_examples=15,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_the_missing_facts_can_decide_the_check(seed: int, tmp_path: Path) -> None:
    """Answering what is asked for, again and again, decides the check."""
    chance = random.Random(seed)
    maker = Maker(chance, known_tests=False)
    when = maker.condition(3)
    judge = Judge(book_of(tmp_path, rule_text("made", written(when))))
    row = maker.row(0.5)
    (one,) = judge.judge(Cases({"c0": row}))
    for _ in range(40):
        if one.verdict is not U or not one.missing:
            break
        assert not one.missing & set(row)
        row = {**row, **{name: maker.value(name) for name in one.missing}}
        (one,) = judge.judge(Cases({"c0": row}))
    assert one.verdict is not U or any("division" in reason for reason in one.reasons)
    assert len(row) <= len(EVERY_NAME)
