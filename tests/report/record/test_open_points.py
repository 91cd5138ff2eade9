"""The technician's table of what is in the way says once what waits for one answer."""

from __future__ import annotations

from collections import Counter

from advisor.report.record.open_points import obstacles
from tests.report.record.making import POOR, review_of


def rows() -> list[tuple[str, ...]]:
    (block,) = obstacles(review_of(POOR))
    return list(block.rows)


def test_a_sheet_without_a_plan_has_one_row_for_all_that_waits_for_it() -> None:
    """Its number is that of the obstacles which say so, one for each check of each part."""
    asked = Counter(one.ask for one in review_of(POOR).obstacles)
    (plan,) = [one for one in asked if one.startswith("There is no plan of the cables.")]
    (row,) = [one for one in rows() if one[5] == plan and one[3] == "not known"]
    assert asked[plan] > 10
    assert f"{asked[plan]} checks that wait for the same answer" in row[4]


def test_no_answer_stands_in_two_rows_of_several_rules() -> None:
    several = Counter(one[5] for one in rows() if one[3] == "not known" and ", " in one[0])
    assert several
    assert set(several.values()) == {1}
