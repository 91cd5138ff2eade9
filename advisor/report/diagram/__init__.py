"""The single-line drawing of a build's circuit.

Plus conductors run from the sources at the left to what is fed at the right; the returns gather
at the far right and go back below. It is drawn from the plan of the cables, run by run.

    svg = draw(facts, {"main-fuse": [3], "bus-to-drive": [1, 4]}, "us")
"""

from __future__ import annotations

from advisor.report.diagram.drafting import picture_of
from advisor.report.diagram.picture import Picture
from advisor.report.diagram.svg import CAUTION, draw

__all__ = ["CAUTION", "Picture", "draw", "picture_of"]
