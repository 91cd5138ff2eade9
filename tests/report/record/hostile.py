"""Texts that try to be more than text, and a sheet that has one in every free field."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import cycle

from tests.report.record.making import quoted, sheet_with

RAN = "ranAsScript"
"""A name that only a script out of a sheet could set."""

TEXTS = (
    f"<script>window.{RAN}=1</script>",
    f"</script><script>window.{RAN}=2</script>",
    f'<img src=x onerror="window.{RAN}=3">',
    "<!-- --><style>*{display:none}</style>",
    "{{ 7*7 }}{% raw %}{# note #}",
    '#panic("set") $x^2$ *bold* _so_ `raw` @ref <label> = Head',
    r"$\frac{1}{2}$ \x41 \\ %d {0}",
    "&lt;b&gt; &amp; &#60;",
    "W" * 290,
    "بطارية السيارة 48 (فولت)",
    "סוללה 12, רכב",
    "🔋 🚗 ⚠️ batterie",
    "電池 аккумулятор",
    '" onmouseover="x" \'; --',
)

ODD = (
    "safe \u202e kcap",
    "\U0001f469\u200d\U0001f527 joined",
    "\u2067end \u200f",
    "soft\xadhyphen",
)
"""Characters without a picture: controls of direction, and the joiner of an emoji."""

BIDI = tuple(
    chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F, 0x061C)
)
"""Every control of Unicode Standard Annex 9 that can change the order of what stands around it."""


def hostile_sheet(texts: Sequence[str]) -> str:
    """An example with a text in every field that takes free words, the texts in turn."""
    turn = cycle(texts)

    def field() -> str:
        return quoted(next(turn))

    return sheet_with(
        {
            "title: Twin packs in parallel on one pair of bus bars": f"title: {field()}",
            "model: N51-100": f"model: {field()}",
            "lot: K22": f"lot: {field()}",
            "{id: shed-charger,": f"{{id: shed-charger, name: {field()},",
            "{id: rear-drive,": f"{{id: rear-drive, name: {field()},",
            "{id: conv-12,": f"{{id: conv-12, name: {field()},",
            "{id: horn, kind: horn,": f"{{id: horn, kind: horn, name: {field()},",
            "{id: red-switch,": f"{{id: red-switch, name: {field()},",
            "{id: meter, kind: coulomb,": f"{{id: meter, kind: coulomb, name: {field()},",
            "{id: rear-motor,": f"{{id: rear-motor, name: {field()},",
            "family: two-pole inlet with recessed pins and a flap": f"family: {field()}",
            "name: to the lower beds and back up": f"name: {field()}",
            "{name: field path,": f"{{name: {field()},",
        },
        more=(
            "readings:\n"
            "  - {of: pack-a, what: resting_voltage, value: 53.2 V, time: 2026-03-02, "
            f"instrument: {field()}, who: {field()}}}\n"
            "accepted:\n"
            "  - {rule: joint-not-crimped, date: 2026-11-20, "
            f"who: {field()}, reason: {field()}}}\n"
        ),
    )
