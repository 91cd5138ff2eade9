"""The guide of a build fits its parts, its order that of its cables."""

from __future__ import annotations

import re
from pathlib import Path
from shutil import copyfile

import pytest

from advisor.commissioning.guide import Phase, Standing, Step
from tests.commissioning.making import NAMES, SCENARIOS, guide_of, scenario

SMALL = """\
sheet: 1
parts:
  packs:
    - {id: pack-a, chemistry: lfp, cells_in_series: 16, capacity: 100 Ah, full_voltage: 58.4 V}
  motors:
    - {id: motor-a, type: MOTOR}
  controllers:
    - {id: ctrl, drives: motor-a}
"""


def named(text: str) -> dict[str, Step]:
    return {one.name: one for one in guide_of(text).steps}


@pytest.mark.parametrize("name", NAMES)
def test_every_step_is_whole_and_its_texts_are_filled(name: str) -> None:
    guide = scenario(name)
    assert len({one.name for one in guide.steps}) == len(guide.steps) > 40
    order = list(Phase)
    numbers = [order.index(one.phase) for one in guide.steps]
    assert numbers == sorted(numbers)
    for one in guide.steps:
        texts = [one.title, one.do, one.stop_at, one.range, *guide.cautions]
        texts += [text for wrong in one.wrong for text in (wrong.reading, wrong.means)]
        assert not any(set(text) & {"{", "}"} for text in texts), one.name
        assert one.title and one.do and one.source, one.name
        assert one.key is None or one.instrument, one.name


@pytest.mark.parametrize("name", NAMES)
def test_a_step_with_not_stated_says_what_to_find_out(name: str) -> None:
    for one in scenario(name).steps:
        if "not stated" in f"{one.title} {one.do.partition('Find out first')[0]} {one.range}":
            assert "Find out first:" in one.do, (one.name, one.do)


@pytest.mark.parametrize("name", NAMES)
def test_steps_are_only_for_parts_that_are_there(name: str) -> None:
    guide = scenario(name)
    sheet = (SCENARIOS / f"{name}.yaml").read_text(encoding="utf-8")
    for one in guide.steps:
        singles = ("vehicle", "battery", "provisions", "use", "supply")
        part = one.part.removesuffix(".bms")
        assert part in singles or re.search(rf"\bid: {re.escape(part)}\b", sheet), one.name
    closing = any(one.name.startswith("disconnect-on") for one in guide.steps)
    assert ("disconnects:\n" in sheet) == closing


def test_a_series_motor_is_never_run_unloaded_above_walking_pace() -> None:
    """A series motor without load has no top speed (common practice, no source)."""
    series = named(SMALL.replace("MOTOR", "series-dc"))
    assert "turns-right-series" in series and "turns-right" not in series
    step = series["turns-right-series"]
    assert "no faster than a person walks" in step.do
    assert "series motor never unloaded above walking pace" in step.cautions
    off_the_ground = [one for one in series.values() if one.phase is Phase.WHEELS]
    turning = [one for one in off_the_ground if "turn slowly" in one.title + one.do]
    assert turning and all("series motor" in " ".join(one.cautions) for one in turning)
    other = named(SMALL.replace("MOTOR", "induction"))
    assert "turns-right" in other and "turns-right-series" not in other
    assert not any("series motor" in " ".join(one.cautions) for one in other.values())


def test_where_the_motor_is_not_known_both_ways_are_shown_and_the_careful_one_with_them() -> None:
    unknown = named(SMALL.replace("type: MOTOR", "rated_power: 4 kW"))
    assert {"turns-right", "turns-right-series"} <= set(unknown)
    for one in ("turns-right", "turns-right-series"):
        assert unknown[one].do.startswith("Only if ")
    assert any("series motor" in " ".join(one.cautions) for one in unknown.values())


def test_the_points_are_tested_from_the_battery_outward() -> None:
    """The order of the cables of the orchard sheet, followed by hand in its plan."""
    power = [one.name for one in scenario("orchard-four-seater").of(Phase.POWER)]
    wanted = ["fuse-in@main-fuse", "disconnect-on", "plus-bar", "fuse-in@charge-fuse"]
    wanted += ["contactor-waits", "disconnect-open"]
    assert [one for one in power if one in wanted] == wanted
    steps = {one.name: one for one in scenario("orchard-four-seater").steps}
    assert "main-switch.out (cable switch-to-bus)" in steps["disconnect-on"].do
    assert "pack-a.minus (cable shunt-to-pack)" in steps["disconnect-on"].do


def test_without_a_plan_the_sides_are_told_in_words() -> None:
    text = SMALL.replace("MOTOR", "pm-ac") + "  disconnects: [{id: main-switch}]\n"
    step = named(text)["disconnect-on"]
    assert "its side away from the battery" in step.do
    assert "the most negative terminal of the battery" in step.do


def test_a_run_has_its_current_beside_its_drop() -> None:
    drive = [one.name for one in scenario("orchard-four-seater").of(Phase.DRIVE)]
    at = drive.index("run-current@pack-to-fuse")
    assert drive[at + 1] == "run-drop@pack-to-fuse"


BEACON_LEADS = """\
wiring:
  - {id: to-beacon, from: plus-bus.stud-6, to: beacon.plus, circuit: traction, gauge: 16 AWG}
  - {id: from-beacon, from: beacon.minus, to: minus-bus.stud-6, circuit: traction, gauge: 16 AWG}
"""


@pytest.mark.parametrize(
    ("current", "asked"),
    [
        ("current: 0.4 A", False),
        ("current: 0.4 A, peak_current: 60 A", True),
        ("current: 12 A", True),
        ("name: beacon of nobody knows what", True),
    ],
)
def test_a_drop_is_read_where_a_clamp_meter_sees_the_current(
    current: str, asked: bool, tmp_path: Path
) -> None:
    """Clamp meters for direct current are off by an ampere or more (from memory): from 5 A on.

    What is not known may be large, and is asked for.
    """
    text = (SCENARIOS / "orchard-four-seater.yaml").read_text(encoding="utf-8")
    load = f"    - {{id: beacon, kind: other, bus: traction, {current}, on_with_key_off: no}}\n"
    text = text.replace("  loads:\n", f"  loads:\n{load}").replace("wiring:\n", BEACON_LEADS, 1)
    copyfile(SCENARIOS / "mailbox-drive.csv", tmp_path / "mailbox-drive.csv")
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text(text, encoding="utf-8")
    names = {one.name for one in guide_of(sheet).steps}
    steps = {f"{step}@to-beacon" for step in ("run-current", "run-drop")}
    assert (steps <= names) == asked and bool(steps & names) == asked
    assert "run-drop@pack-to-fuse" in names


def test_packs_are_joined_only_where_there_are_several() -> None:
    one, two = scenario("orchard-four-seater"), scenario("twin-packs-in-parallel")
    several = {"packs-alike", "pack-spread", "parallel-join"}
    assert not several & {step.name for step in one.steps}
    assert several <= {step.name for step in two.steps}
    assert "string-link" in {step.name for step in scenario("two-lots-in-series").steps}
    assert "string-link" not in {step.name for step in two.steps}


READINGS = """\
readings:
  - {of: pack-a, what: charge_stated, value: 100 %}
  - {of: pack-a, what: resting_voltage, value: VOLTAGE}
  - {of: pack-a, what: damaged, value: DAMAGED}
  - {of: pack-a, what: rested_time, value: 3 h}
"""


def after(voltage: str, damaged: str = "no") -> dict[str, Step]:
    text = SMALL.replace("MOTOR", "pm-ac") + READINGS
    return named(text.replace("VOLTAGE", voltage).replace("DAMAGED", damaged))


def test_how_readings_stand() -> None:
    """A full LFP cell rests at about 3.33 to 3.65 V: 16 of them at 53 to 58 V."""
    steps = after("53.9 V")
    assert steps["pack-voltage"].standing is Standing.PLAUSIBLE
    assert steps["pack-look"].standing is Standing.PLAUSIBLE
    assert steps["pack-rest"].standing is Standing.NO_EXPECTATION
    assert steps["pack-polarity"].standing is Standing.OPEN
    assert steps["pack-voltage"].readings[-1].text == "53.9 V"


def test_a_reading_off_its_band_is_off_and_a_serious_finding_makes_it_dangerous() -> None:
    steps = after("51.0 V")
    assert steps["pack-voltage"].standing is Standing.OFF
    steps = after("20 V", "yes")
    assert steps["pack-look"].standing is Standing.DANGEROUS
    assert any("damaged" in one for one in steps["pack-look"].findings)
    assert steps["pack-voltage"].standing is not Standing.PLAUSIBLE


def test_an_expectation_says_how_it_was_computed_or_which_reading_it_needs() -> None:
    steps = {one.name: one for one in scenario("orchard-four-seater").steps}
    current = steps["charge-current"].expectation
    assert current is not None
    # a 15 A charger that reads 15.2 to 15.3 A is healthy (common practice, no source)
    low, high = (float(one.split()[0]) for one in current.text.split(" to "))
    assert low < 15 and high > 15.3
    assert "Computed:" in current.because
    shown = steps["monitor-voltage"].expectation
    assert shown is not None and "it needs the reading of monitor-meter" in shown.text


def test_units_of_the_reader_hold_for_the_question_as_well() -> None:
    sheet = SMALL.replace("MOTOR", "pm-ac")
    for system, unit in (("si", "°C"), ("us", "°F")):
        steps = {one.name: one for one in guide_of(sheet, system).steps}
        assert steps["motor-cool"].unit == unit
        expected = steps["motor-cool"].expectation
        assert expected is not None and unit in expected.text


def test_what_the_sheet_does_not_mention_is_told_because_its_steps_are_missing() -> None:
    """Silence is no proof that a part is not there."""
    text = SMALL.replace("MOTOR", "pm-ac")
    warning = guide_of(text).warning
    assert "charger" in warning and "contactor" in warning and "motor controller" not in warning
    assert "charger" not in guide_of(text + "  chargers: none\n").warning
    whole = guide_of(text + "  mounts: none\nwiring: none\ncomplete: all\n")
    assert "steps are missing" not in whole.warning


def test_serious_risks_of_the_build_come_first() -> None:
    assert scenario("bargain-parts").warning.startswith("STOP: ")
    assert "STOP" not in scenario("orchard-four-seater").warning


TWO_RISKS = "vehicle: {brakes: rear-drum, parking_brake: none, steering_condition: play}\n"
ACCEPTED = "accepted:\n  - {rule: RULE, who: the owner, date: 2026-11-20, reason: on purpose}\n"


def test_a_risk_that_somebody_accepts_is_not_counted_again() -> None:
    text = SMALL.replace("MOTOR", "pm-ac") + TWO_RISKS
    assert "finds 2 serious risks" in guide_of(text).warning
    with_name = text + ACCEPTED.replace("RULE", "steering-worn")
    assert "finds 1 serious risk." in guide_of(with_name).warning


def test_a_high_risk_is_counted_whoever_accepts_it() -> None:
    """The review lets nobody accept it (MIL-STD-882E leaves it to the highest authority)."""
    text = SMALL.replace("MOTOR", "pm-ac").replace("58.4 V}", "58.4 V, damaged: yes}")
    named_by = text + ACCEPTED.replace("RULE", "damaged-pack")
    assert "finds 1 high risk. Connect nothing" in guide_of(named_by).warning


def test_what_was_read_under_power_is_no_reason_not_to_connect() -> None:
    """It is told all the same, and apart; what was seen before connecting still stops the work."""
    text = SMALL.replace("MOTOR", "pm-ac") + "vehicle: {parking_brake: hand-lever}\n"
    text += "readings:\n"
    tried = text + "  - {of: vehicle, what: parking_brake_held, value: no}\n"
    warning = guide_of(tried).warning
    assert "the readings show 1 serious risk. Open the disconnect" in warning
    assert "Connect nothing" not in warning
    seen = text + "  - {of: pack-a, what: damaged, value: yes}\n"
    assert "finds 1 high risk. Connect nothing" in guide_of(seen).warning
