"""Labels: from the facts, with blanks where there are none."""

from __future__ import annotations

from pathlib import Path

from advisor.report.record import labels_html, labels_pdf
from advisor.report.record.labels import FILL, Label, labels_of
from tests.report.record.making import PLAIN, POOR, from_text, review_of, sheet_with
from tests.report.record.reading import about, text_of


def of(name: str, title: str) -> Label:
    (found,) = [one for one in labels_of(review_of(name), "us") if one.title == title]
    return found


def test_the_voltage_class_changes_above_60_volts() -> None:
    """EN 50604-1, scope: class A is up to 60 V DC. Full: 16 x 3.65 = 58.4 V, 24 x 3.65 = 87.6 V."""
    low = dict(of(PLAIN, "Battery voltage").facts)
    high = dict(of("seventy-two-volt-hauler", "Battery voltage").facts)
    assert low["Voltage class"] == "A (up to 60 V direct)"
    assert high["Voltage class"] == "B (above 60 V direct)"
    assert (low["Direct voltage, at most"], high["Direct voltage, at most"]) == ("58.4 V", "87.6 V")
    assert "can kill" in " ".join(of("seventy-two-volt-hauler", "Battery voltage").lines)


def test_responders_read_kind_voltage_energy_and_where() -> None:
    """Two packs of 51.2 V and 100 Ah: 10.24 kWh."""
    facts = dict(of(PLAIN, "First responders").facts)
    assert facts["Battery"] == "lithium iron phosphate"
    assert facts["Voltage"] == "51.2 V, at most 58.4 V"
    assert facts["Energy"] == "10.2 kWh"
    assert facts["Disconnect here"] == "red-switch, within reach of the driver's seat"


def test_one_charger_only() -> None:
    facts = dict(of(PLAIN, "Charge here").facts)
    assert facts["Only with"] == "shed-charger"
    assert facts["Its output"] == "58.4 V, 25 A"
    assert facts["Battery not colder than"] == "32 °F (0 °C)"


def test_what_is_unknown_is_a_blank_and_never_a_guess() -> None:
    assert dict(of(POOR, "Charge here").facts)["Only with"] == FILL
    assert dict(of(POOR, "Main switch of the battery").facts)["Switch"] == FILL
    assert dict(of(POOR, "First responders").facts)["Where they are"] == FILL


def test_the_cold_limit_of_a_kind_is_none_of_this_battery(tmp_path: Path) -> None:
    sheet = sheet_with({"charge_temperature: 0 .. 45 degC": "charge_temperature: unknown"})
    review = from_text(tmp_path, sheet)
    (label,) = [one for one in labels_of(review, "si") if one.title == "Charge here"]
    assert dict(label.facts)["Battery not colder than"] == FILL


def test_an_unknown_voltage_is_treated_as_the_worse_class(tmp_path: Path) -> None:
    """Nothing is said of the voltage: the label warns as for one above 60 V."""
    review = from_text(tmp_path, "sheet: 1\nparts: {packs: [{id: box}]}\n")
    (label,) = [one for one in labels_of(review, "si") if one.title == "Battery voltage"]
    assert dict(label.facts)["Voltage class"] == FILL
    assert "can kill" in " ".join(label.lines)


def test_they_say_how_the_review_ended() -> None:
    review = review_of(PLAIN)
    assert "ended: NOT READY" in labels_html(review, "us")
    made = labels_pdf(review, "us")
    assert "ended: NOT READY" in text_of(made)
    assert about(made)["Tagged"] == "yes"
    assert made == labels_pdf(review, "us")
