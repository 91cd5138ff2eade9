"""The record as PDF, read back by Poppler: tagged, the same each time, page one for the owner."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from advisor.report.record import record_pdf
from tests.report.record.making import (
    LARGEST,
    PLAIN,
    POOR,
    blocks,
    from_text,
    record,
    review_of,
    sheet_with,
)
from tests.report.record.reading import about, text_of


@cache
def pdf(name: str) -> bytes:
    return record_pdf(review_of(name), "us", record(name))


@pytest.mark.parametrize("name", [LARGEST, PLAIN, POOR])
def test_it_is_tagged_and_titled_and_has_no_date(name: str) -> None:
    told = about(pdf(name))
    assert told["Tagged"] == "yes"
    assert told["Title"].startswith(review_of(name).build.title)
    assert "CreationDate" not in told
    assert told["JavaScript"] == "no"


def test_the_same_review_gives_the_same_bytes() -> None:
    assert pdf(PLAIN) == record_pdf(review_of(PLAIN), "us")


@pytest.mark.parametrize("name", [LARGEST, PLAIN, POOR])
def test_page_one_is_for_the_owner(name: str) -> None:
    first = text_of(pdf(name), "-f", "1", "-l", "1")
    for words in ("NOT READY", "For the owner", "How to charge", "How to tow it", "Whom to call"):
        assert words in first
    assert "For the technician" not in first


@pytest.mark.parametrize("name", [LARGEST, PLAIN, POOR])
def test_it_prints_the_fingerprints_of_the_page(name: str) -> None:
    review = review_of(name)
    text = text_of(pdf(name))
    for one in (review.build.fingerprint, review.screening.fingerprint, review.program_version):
        assert one in text
    assert "It screens on paper. It does not certify." in " ".join(text.split())


def test_everything_of_the_tables_is_on_paper() -> None:
    """Every word of every table; long ones may be broken over lines."""
    paper = "".join(text_of(pdf(PLAIN)).split()).replace("\u200b", "").replace("-", "")
    for block in blocks(record(PLAIN)):
        for row in block.rows:
            for word in " ".join(row).split():
                kept = word.replace("-", "").replace("\u00ad", "")
                assert not kept.isascii() or kept in paper, (block.title, word)


def test_paper_is_that_of_the_region(tmp_path: Path) -> None:
    """US Letter is 612 x 792 points; A4 of ISO 216, 210 x 297 mm, is 595 x 842."""
    assert about(pdf(PLAIN))["Page size"].startswith("612 x 792 pts")
    review = from_text(tmp_path, sheet_with({"region: us": "region: eu"}))
    size = about(record_pdf(review, "si"))["Page size"]
    wide, high = (float(one) for one in size.split(" pts")[0].split(" x "))
    assert (round(wide), round(high)) == (595, 842)
