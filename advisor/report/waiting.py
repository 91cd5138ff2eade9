"""A bar on the terminal for work that lasts longer than a second. Needs rich, as typer does."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

Tell = Callable[[int, int], None]
"""Says how much of the work is done, and how much there is."""


@contextmanager
def waiting(words: str, stream: TextIO = sys.stderr, after: float = 1.0) -> Iterator[Tell]:
    """Show a bar from `after` seconds on, and take it away at the end.

    Gives a function that is told how far the work is; without a call the bar only runs. Nothing is
    shown where `stream` is no terminal.
    """
    state = [0, 0]

    def tell(done: int, total: int) -> None:
        state[:] = done, total

    if not stream.isatty():
        yield tell
        return
    over = threading.Event()
    thread = threading.Thread(target=_show, args=(words, stream, after, over, state), daemon=True)
    thread.start()
    try:
        yield tell
    finally:
        over.set()
        thread.join(1.0)


def _show(
    words: str, stream: TextIO, after: float, over: threading.Event, state: list[int]
) -> None:
    if over.wait(after):
        return
    columns = (TextColumn("{task.description}"), BarColumn(30), TimeElapsedColumn())
    with Progress(*columns, console=Console(file=stream), transient=True) as bar:
        task = bar.add_task(words, total=None)
        while not over.wait(0.2):
            done, total = state
            bar.update(task, completed=done, total=total or None)


__all__ = ["Tell", "waiting"]
