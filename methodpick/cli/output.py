"""What commands write to: files, standard output, and a progress bar on a terminal."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

import typer

from methodpick.cli.written_files import OR_FORCE, write_files
from methodpick.errors import InputError, Problem
from methodpick.printable import on_terminal

PATIENCE_S = 0.7
"""Work that is done sooner shows no bar."""


def echo(text: str, *, nl: bool = True, err: bool = False) -> None:
    """Print a text on a terminal, on standard error with ``err``; what a terminal would obey is shown as a sign."""
    typer.echo(on_terminal(text), nl=nl, err=err)


def echo_line(text: str, *, err: bool = False) -> None:
    """Print a text that holds foreign words on one line, whatever line ends they have."""
    echo(" ".join(text.splitlines()), err=err)


def write_new_file(path: Path, content: str | bytes, *, force: bool) -> None:
    """Write a file that its reader goes on with, over an existing file only with ``force``. Raises InputError where that fails."""
    write_new_files({path: content}, force=force)


def write_new_files(contents: Mapping[Path, str | bytes], *, force: bool) -> None:
    """Write files that their reader goes on with, over existing ones only with ``force``. Raises InputError where that fails."""
    for path in contents:
        if os.path.lexists(path) and not force:
            raise InputError(Problem(f"{path}: the file exists already", hint=OR_FORCE))
    write_files(contents, force=force)


def write_targets(texts: Mapping[str, str], *, force: bool) -> None:
    """Write texts to the files that are named, or to standard output where that is -. Raises InputError where that fails."""
    write_files({Path(target): text for target, text in texts.items() if target != "-"}, force=force)
    for text in (text for target, text in texts.items() if target == "-"):
        sys.stdout.write(text)


@contextmanager
def progress_bar(what: str) -> Iterator[Callable[[int, int], None] | None]:
    """Show a bar for work that takes long: on standard error, on a terminal only, without colour, and not before it has taken a while.

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
        console=Console(stderr=True, color_system=None),
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
