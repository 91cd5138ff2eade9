"""What keeps water and dirt from a part: its mark, its place, and what the mark stands for."""

from __future__ import annotations

from advisor.vocabulary.attribute import Ask, Attribute, count, flag, text


def weather() -> tuple[Attribute, ...]:
    """Attributes of a part that may get wet or dirty."""
    return (
        text("ip", "ingress protection mark", Ask.DATASHEET),
        flag("sheltered", "it lies where no splash, jet or mud reaches it", Ask.OWNER),
        # computed
        count("ip_dust", "first figure of its ingress mark, against solids", at_most=6),
        count("ip_jets", "figure of its ingress mark against spray and jets", at_most=9),
        count("ip_dipped", "figure of its ingress mark against standing in water", at_most=9),
    )
