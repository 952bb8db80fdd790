"""What commands write to: files, standard output, and a progress bar on a terminal."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

from methodpick.cli.written_files import write_files
from methodpick.errors import InputError, Problem

PATIENCE_S = 0.7
"""Work that is done sooner shows no bar."""


def write_new_file(path: Path, text: str, *, force: bool) -> None:
    """Write a text that its reader goes on with, over an existing file only with ``force``. Raises InputError where that fails."""
    if os.path.lexists(path) and not force:
        raise InputError(Problem(f"{path}: the file exists already", hint="name another file, or add --force"))
    write_files({path: text}, force=force)


def write_targets(texts: Mapping[str, str], *, force: bool) -> None:
    """Write texts to the files that are named, or to standard output where that is -. Raises InputError where that fails."""
    write_files({Path(target): text for target, text in texts.items() if target != "-"}, force=force)
    for text in (text for target, text in texts.items() if target == "-"):
        sys.stdout.write(text)


@contextmanager
def progress_bar(what: str) -> Iterator[Callable[[int, int], None] | None]:
    """Show a bar for work that takes long: on standard error, on a terminal only, and not before it has taken a while.

    Gives a function that is called with how much is done, and of how much; None where nobody looks at a terminal.
    """
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
