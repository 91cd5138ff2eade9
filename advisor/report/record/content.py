"""The whole record as text and pictures, for every form of it."""

from __future__ import annotations

from advisor.handoff.model import Review
from advisor.report.diagram import draw
from advisor.report.record.blocks import Block, Part, Record, Section, figure, missing
from advisor.report.record.blocks import text as text_block
from advisor.report.record.charts import all_charts
from advisor.report.record.evidence_part import evidence_part, prints
from advisor.report.record.outcome import LINE, MEANING, STANDING
from advisor.report.record.owner import owner_part
from advisor.report.record.technician import technician_part
from advisor.report.record.told import Told
from advisor.report.record.words import safe
from advisor.report.sentences import CAUTIONS

NOT_A_CERTIFICATE = (
    "This record says what was checked on paper and what somebody measured. It screens; it does "
    "not certify. Local electrical and road codes and licensed practice decide. Whoever signs "
    "says only that he read it and did what stands above the line."
)
SIGNERS = (
    "Built and connected by",
    "Inspected on the vehicle by (qualified person)",
    "Handed over to (owner), who has read page one",
)
_DRAWING = "The circuit, single-line"


def record_of(review: Review, system: str) -> Record:
    """A review as a record. `system` is `si` or `us`."""
    told = Told(review.screening.facts, system)
    charts = all_charts(review.screening, told)
    technician = technician_part(review, told, _drawing(review, system), charts)
    owner = owner_part(review, told)
    signing = Section(
        "signing",
        "Signatures",
        (
            text_block(NOT_A_CERTIFICATE),
            Block("sign", items=SIGNERS),
        ),
    )
    last = Part("signatures", "Signatures", "Read this before you sign.", (signing,))
    build = review.build
    return Record(
        title=safe(build.title or build.file),
        subtitle="Record of the review before handoff",
        standing=STANDING[review.outcome],
        outcome=LINE[review.outcome],
        meaning=MEANING[review.outcome],
        parts=(owner, technician, evidence_part(review, system), last),
        prints=tuple((name, safe(value)) for name, value in prints(review)),
        paper="us-letter" if told.word("use", "region") == "us" else "a4",
        cautions=CAUTIONS,
    )


def _drawing(review: Review, system: str) -> Block:
    facts = review.screening.facts
    if not any("from" in one.values for one in review.build.instances if one.subject == "run"):
        return missing("drawing", _DRAWING, "Not drawn. Missing: cable runs with both their ends.")
    marks: dict[str, list[int]] = {}
    for one in review.screening.all_findings():
        marks.setdefault(one.about, []).append(one.number)
    title = safe(review.build.title or review.build.file)
    picture = draw(facts, marks, system, title)
    alt = (
        "The circuit as the table of cable runs lists it, from the battery at the left to what "
        "it feeds at the right. A number in a circle is that of a finding."
    )
    return figure("drawing", _DRAWING, picture[picture.index("<svg") :], alt, wide=True)


__all__ = ["NOT_A_CERTIFICATE", "SIGNERS", "record_of"]
