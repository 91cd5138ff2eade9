"""The bar for long work: on a terminal only, and only after a while."""

from __future__ import annotations

import io
import time

from advisor.report.waiting import waiting


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_nothing_is_shown_where_there_is_no_terminal() -> None:
    stream = io.StringIO()
    with waiting("working", stream, after=0.0) as tell:
        tell(1, 2)
        time.sleep(0.05)
    assert stream.getvalue() == ""


def test_short_work_shows_nothing_and_long_work_its_words() -> None:
    short, long = Terminal(), Terminal()
    with waiting("working", short, after=5.0):
        pass
    with waiting("moving values", long, after=0.0) as tell:
        tell(1, 2)
        time.sleep(0.6)
    assert short.getvalue() == ""
    assert "moving values" in long.getvalue()
