"""A whole vehicle commissioned: every reading as it should be, then single ones that are not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.commissioning.guide import Guide, Phase, Standing, Step
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.recording import Entry, with_entry
from tests.commissioning.making import SCENARIOS, guide_of

GIVEN = {
    "pack-rest": "5 h",
    "pack-charge": "60 %",
    "rest-time": "5 h",
    "isolation-resistor": "5.1 kΩ",
    "minus-to-frame": "25 V",
    "plus-to-frame": "27 V",
    "voltage-with-resistor": "0.4 V",  # 5.1 kΩ x 52 V x (1 / 0.4 V - 1 / 27 V) = 650 kΩ
    "isolation": "650 kΩ",
    "monitor-zero": "0 A",
    "air": "20 degC",
    "field-resistance": "1 ohm",
    "height-of-gravity": "60 cm",
    "load-current": "100 A",
    "clamp-current": "100 A",
    "run-current": "100 A",
    "contactor-current": "100 A",
    "stop-speed": "12 mph",
    "top-speed": "14 mph",
    "usual-current": "60 A",
}
"""What a person reads where nothing is expected."""

SAME = ("rest-voltage", "monitor-meter", "before-load")
"""Read on the same battery at rest as the voltage after joining."""


def value_of(step: Step, guide: Guide) -> str | None:
    """A reading in the middle of what is expected, or None where that is not known yet."""
    name = step.name.partition("@")[0]
    if name in GIVEN:
        return GIVEN[name]
    if name in SAME:
        joined = next(one for one in guide.steps if one.name == "battery-voltage")
        return joined.readings[-1].text if joined.readings else None
    if name == "set-full":
        return "58.2 V"
    text = step.expectation.text if step.expectation is not None else "not known"
    band = re.fullmatch(r"(-?[\d.]+) (\S+) to (-?[\d.]+) (\S+)", text)
    if band and band[2] == band[4]:
        return f"{(float(band[1]) + float(band[3])) / 2:.4g} {band[2]}"
    least = re.fullmatch(r"at least ([\d.]+) (\S+)", text)
    if least:
        return f"{1.02 * float(least[1]):.4g} {least[2]}"
    most = re.fullmatch(r"at most ([\d.]+) (\S+)", text)
    if most:
        return f"{0.6 * float(most[1]):.4g} {most[2]}"
    return text if text in ("yes", "no", "nothing") else None


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The orchard sheet without its trips, with every reading in it, taken phase by phase."""
    path = tmp_path_factory.mktemp("walk") / "orchard.yaml"
    text = (SCENARIOS / "orchard-four-seater.yaml").read_text(encoding="utf-8")
    text = re.sub(r"^trips:\n.*?(?=^\S)", "", text, flags=re.M | re.S)  # driving them takes time
    path.write_text(text + "\nreadings:\n")
    for phase in (None, *Phase):
        for _ in range(3):
            if not _round(path, phase):
                break
    return path


def _round(path: Path, phase: Phase | None) -> bool:
    """Write down what can be read now: of a phase, or first what nothing is expected of."""
    if phase is None:
        own = path.with_name("empty.yaml")
        own.write_text(path.read_text().removesuffix("readings:\n"))
        guide = guide_of(own)
    else:
        guide = guide_of(path)
    taken = []
    for one in guide.steps:
        given = one.name.partition("@")[0] in GIVEN
        wanted = given if phase is None else one.phase is phase
        if one.key is None or one.standing is not Standing.OPEN or not wanted:
            continue
        value = value_of(one, guide)
        if value is not None:
            of, what = one.key
            taken.append(f"  - {{of: {of}, what: {what}, value: {value}}}\n")
    path.write_text(path.read_text() + "".join(taken))
    return bool(taken) and phase is not None


def test_a_vehicle_that_reads_as_expected_has_nothing_off(sheet: Path) -> None:
    guide = guide_of(sheet)
    kept = [one for one in guide.steps if one.key is not None]
    assert [one.name for one in kept if one.standing is Standing.OPEN] == []
    wrong = [one.name for one in kept if one.standing in (Standing.OFF, Standing.DANGEROUS)]
    assert wrong == []
    plausible = sum(1 for one in kept if one.standing is Standing.PLAUSIBLE)
    assert plausible >= 0.85 * len(kept)


@pytest.mark.parametrize(
    ("name", "value", "stands"),
    [
        ("pack-look", "yes", {Standing.DANGEROUS}),
        ("pack-voltage", "49 V", {Standing.OFF}),
        ("opens-with-key", "no", {Standing.DANGEROUS}),
        ("turns-right", "no", {Standing.DANGEROUS}),
        ("voltage-with-resistor", "20 V", {Standing.OFF, Standing.DANGEROUS}),  # 3.4 kΩ
        ("charge-current", "6 A", {Standing.OFF}),
        ("charge-end-voltage", "61 V", {Standing.OFF, Standing.DANGEROUS}),
        ("monitor-current", "50 A", {Standing.OFF}),
        ("hottest-joint", "140 degC", {Standing.OFF, Standing.DANGEROUS}),
        ("park-holds", "no", {Standing.DANGEROUS}),
        ("run-drop@fuse-to-switch", "900 mV", {Standing.OFF, Standing.DANGEROUS}),
        ("standby-key-off", "900 mA", {Standing.OFF, Standing.DANGEROUS}),
    ],
)
def test_one_wrong_reading_is_seen(
    sheet: Path, tmp_path: Path, name: str, value: str, stands: set[Standing]
) -> None:
    step = next(one for one in guide_of(sheet).steps if one.name == name)
    assert step.key is not None
    own = tmp_path / "own.yaml"
    text = sheet.read_text()
    build = read_sheet_bytes(text.encode(), str(own), tmp_path)
    own.write_text(with_entry(text, build, Entry(*step.key, value), tmp_path))
    after = next(one for one in guide_of(own).steps if one.name == name)
    assert after.standing in stands, (after.expectation, after.findings)
