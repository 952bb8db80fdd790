"""A bar for work that takes long: on standard error, on a terminal only, and not before it has taken a while."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic

PATIENCE_S = 0.7
"""Work that is done sooner shows no bar."""


@contextmanager
def shown(what: str) -> Iterator[Callable[[int, int], None] | None]:
    """Return a function that hears how much is done, of how much; None where nobody looks at a terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    start = monotonic()
    bar = Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        console=Console(stderr=True),
        transient=True,
    )
    task = bar.add_task(what)
    running = False

    def tell(done: int, total: int) -> None:
        nonlocal running
        if not running and monotonic() - start > PATIENCE_S:
            bar.start()
            running = True
        bar.update(task, completed=done, total=total)

    try:
        yield tell
    finally:
        if running:
            bar.stop()
