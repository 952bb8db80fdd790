"""What commands write to: files, standard output, and a progress bar on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

from methodpick.errors import InputError, Problem

PATIENCE_S = 0.7
"""Work that is done sooner shows no bar."""


def write_file(path: Path, content: str | bytes, *, overwrite: bool = True) -> None:
    """Write a file of text or of bytes, in place of an existing one only with ``overwrite``. Raises InputError where that fails."""
    if not overwrite:
        refuse_existing([path])
    try:
        if isinstance(content, bytes):
            path.write_bytes(content)
        else:
            path.write_text(content, encoding="utf-8")
    except OSError as error:
        raise InputError(Problem(f"{path}: the file cannot be written: {error.strerror}")) from None


def refuse_existing(paths: Iterable[Path]) -> None:
    """Raise InputError where one of the files is there already."""
    for path in paths:
        if path.exists():
            raise InputError(Problem(f"{path}: the file exists already", hint="name another file, or add --force"))


def make_folder(folder: Path) -> None:
    """Make a folder, with those around it, where it is not there yet. Raises InputError where that fails."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(Problem(f"{folder}: the folder cannot be made: {error.strerror}")) from None


def write_to(target: str, text: str) -> None:
    """Write a text to the file named ``target``, or to standard output where that is -. Raises InputError where that fails."""
    if target == "-":
        sys.stdout.write(text)
    else:
        write_file(Path(target), text)


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
