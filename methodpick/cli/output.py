"""What commands write to: files, standard output, and a progress bar on a terminal."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import stat
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from shutil import get_terminal_size, which
from textwrap import wrap
from time import monotonic
from typing import TYPE_CHECKING

import typer

from methodpick.errors import IN_PLAIN_LETTERS, InputError, Problem, on_terminal
from methodpick.input_files import no_name

if TYPE_CHECKING:
    from rich.progress import Progress

# ---- files: each whole or not at all, none over an input, none over what somebody else wrote or changed


MANIFEST = ".methodpick-files.json"
"""Stands in every folder that was written to: the names of the files and the SHA-256 digests that they were written with."""
FORMAT = "methodpick-files/1"
WRITTEN, BEGUN = "files", "begun"
"""The keys of the manifest: what stands, and, while files are renamed, what is about to stand."""
OR_FORCE = "name another file, or add --force"
STANDARD_OUTPUT = Path("-")
"""The name that stands for standard output wherever a file to write is named."""


def refuse_clashes(targets: Iterable[str | Path | None], inputs: Iterable[str | Path | None]) -> None:
    """Raise InputError where a file to write is one that is read, or one that is written already: by name, link or case.

    None and ``-`` (standard output) are passed over.
    """
    read = [Path(path) for path in inputs if path is not None]
    written: list[Path] = []
    for path in (Path(target) for target in targets if target is not None and str(target) != "-"):
        if "\0" in str(path):
            raise no_name(str(path))
        for other in read:
            if _same_file(path, other):
                raise InputError(Problem(f"{path}: this file is read by the same command ({other})", hint="name another file to write"))
        for other in written:
            if _same_file(path, other):
                raise InputError(Problem(f"{path}: two outputs cannot go into one file", hint="name another file for one of them"))
        written.append(path)


def _same_file(first: Path, second: Path) -> bool:
    """Return whether two names are one file, or would be where small and capital letters are not told apart."""
    with suppress(OSError):
        if first.samefile(second):
            return True
    places = [Path(os.path.realpath(path)) for path in (first, second)]
    return places[0].parent == places[1].parent and places[0].name.casefold() == places[1].name.casefold()


def is_file(path: Path) -> bool:
    """Return whether a file, a device or a pipe stands at a place; a name that no system takes is none."""
    with suppress(OSError, ValueError):
        return not stat.S_ISDIR(path.stat().st_mode)
    return False


def write_files(contents: Mapping[Path, str | bytes], *, force: bool = False) -> None:
    """Write files, all made ready beside their places before the first is renamed, and the manifests of their folders last.

    The manifests also hold what is about to be written, so that a run that is killed between two renames can be run again. Where
    one file cannot be made ready (a full disk, a folder that cannot be written to, a signal), none is changed. Raises InputError
    then, and where a file stands there already that is not, or is no longer, what was written before, unless with ``force``.
    What is named ``-`` goes to standard output, after the files.
    """
    printed = [content for path, content in contents.items() if path == STANDARD_OUTPUT]
    _refuse_garbling(printed)
    ready: list[tuple[Path, Path]] = []
    digests: dict[Path, dict[str, str]] = {}
    try:
        for path, content in contents.items():
            if path == STANDARD_OUTPUT:
                continue
            data = content.encode("utf-8") if isinstance(content, str) else content
            with _naming(path):
                target = Path(os.path.realpath(path))
                if not _is_plain(target):
                    target.write_bytes(data)
                    continue
                if not force:
                    _refuse_foreign(path, target, data)
                ready.append((_made_ready(target, data), target))
            digests.setdefault(target.parent, {})[target.name] = hashlib.sha256(data).hexdigest()
        for folder, written in digests.items():
            _note(folder, begun=written)
        for part, target in ready:
            with _naming(target, "The files before it in the list were written."):
                part.replace(target)
        for folder, written in digests.items():
            _note(folder, written=written)
    finally:
        for part, _ in ready:
            part.unlink(missing_ok=True)
    for content in printed:
        print_file(content)


def _refuse_garbling(contents: Iterable[str | bytes]) -> None:
    """Raise InputError where a file that is no text would go to a terminal, which it would only garble."""
    if any(isinstance(content, bytes) for content in contents) and sys.stdout.isatty():
        message = "a file that is no text cannot be shown on a terminal"
        raise InputError(Problem(message, hint="name a file with -o, or send the output on to one"))


def print_file(content: str | bytes) -> None:
    """Write a file to standard output byte for byte, as it would be on the disk; on a terminal a text, in signs that it can show.

    Raises InputError where a file that is no text would garble a terminal.
    """
    if isinstance(content, str) and sys.stdout.isatty():
        echo(content.replace("\r\n", "\n"), nl=False)
        return
    _refuse_garbling((content,))
    sys.stdout.flush()
    sys.stdout.buffer.write(content.encode("utf-8") if isinstance(content, str) else content)
    sys.stdout.buffer.flush()


def ending_of(output: Path, usual: str) -> str:
    """Return the ending of a file to write in small letters, the usual one for standard output.

    >>> ending_of(Path("site.PDF"), ".html"), ending_of(Path("-"), ".html")
    ('.pdf', '.html')
    """
    return usual if output == STANDARD_OUTPUT else output.suffix.lower()


def echo_written(output: Path) -> None:
    """Write on standard error that a file is written; nothing of what went to standard output."""
    if output != STANDARD_OUTPUT:
        echo(f"{output}: written", err=True)


def make_folder(folder: Path) -> None:
    """Make a folder, with those around it, where it is not there yet. Raises InputError where that fails."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else "it has no possible name"
        raise InputError(Problem(f"{_short(folder)}: the folder cannot be made: {why}")) from None


@contextmanager
def _naming(path: Path, left: str = "Nothing was changed.") -> Iterator[None]:
    """Turn what the system refuses into an error that names the file and what is left."""
    try:
        yield
    except OSError as error:
        raise InputError(Problem(f"{_short(path)}: the file cannot be written: {error.strerror}", hint=left)) from None
    except ValueError:  # a zero byte in the name
        raise no_name(str(path)) from None


def _short(path: Path) -> str:
    text = str(path)
    return text if len(text) <= 120 else f"{text[:60]}...{text[-50:]}"


def _is_plain(target: Path) -> bool:
    """Return whether a place is free or holds a regular file; a device or a pipe is written to as it is."""
    try:
        mode = target.stat().st_mode
    except FileNotFoundError:
        return True
    return stat.S_ISREG(mode) or stat.S_ISDIR(mode)


def _refuse_foreign(path: Path, target: Path, data: bytes) -> None:
    if not target.exists() or target.is_dir():
        return
    found = target.read_bytes()
    noted = (_manifest(target.parent, key).get(target.name) for key in (WRITTEN, BEGUN))
    if not found or found == data or hashlib.sha256(found).hexdigest() in noted:
        return
    message = f"{path}: the file that stands there is not, or is no longer, what methodpick wrote"
    raise InputError(Problem(message, hint=OR_FORCE))


def _made_ready(target: Path, data: bytes) -> Path:
    """Write a file beside its place, under a name of its own, down to the disk; return that name."""
    if target.is_dir():
        raise IsADirectoryError(21, "it is a folder")
    from secrets import token_hex

    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666
    part = target.parent / f".methodpick-{token_hex(8)}.part"
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return part


def _manifest(folder: Path, key: str) -> dict[str, str]:
    """Return the digests of the files in a folder as they were written, or were about to be; none where the manifest cannot be read."""
    try:
        tree = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        found = tree.get(key, {}) if tree["format"] == FORMAT else {}
        return {name: digest for name, digest in found.items() if isinstance(digest, str)}
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return {}


def _note(folder: Path, *, written: Mapping[str, str] | None = None, begun: Mapping[str, str] | None = None) -> None:
    """Write the manifest of a folder anew. Without it the files are whole all the same, and only --force writes over them."""
    files = dict(sorted({**_manifest(folder, WRITTEN), **(written or {})}.items()))
    tree = {"format": FORMAT, WRITTEN: files} | ({BEGUN: dict(begun)} if begun else {})
    text = json.dumps(tree, indent=1, ensure_ascii=True) + "\n"
    with suppress(OSError):
        part = _made_ready(folder / MANIFEST, text.encode())
        part.replace(folder / MANIFEST)


# ---- standard output, a pager on a terminal, and a progress bar


STOPPED = 130
"""The exit code of what was stopped from the keyboard, as shells have it."""
PATIENCE_S = 0.7
"""Work that is done sooner shows no bar."""
PAGERS = "less", "more"
"""What pages where the user names nothing, the first that is there; a terminal that cannot move its cursor pages nothing."""
NOT_RUN = frozenset({126, 127, 9009})
"""The codes with which a shell says that it could not run a program, on Windows the last."""


def echo(text: str, *, nl: bool = True, err: bool = False) -> None:
    """Print a text on a terminal, on standard error with ``err``; what a terminal would obey is shown as a sign."""
    typer.echo(on_terminal(text), nl=nl, err=err)


def echo_line(text: str, *, err: bool = False) -> None:
    """Print a text that holds foreign words on one line, whatever line ends they have."""
    echo(one_line(text), err=err)


def one_line(text: str) -> str:
    r"""Return a text that holds foreign words on one line.

    >>> one_line("boring B-1,\n5 m away")
    'boring B-1, 5 m away'
    """
    return " ".join(text.splitlines())


def folded(lines: Iterable[str], width: int = 80) -> str:
    r"""Return lines as a text, those that are too long folded at their words, under where they begin.

    >>> folded(["  when the base is wet, and", "  ask"], 15)
    '  when the base\n    is wet, and\n  ask'
    """
    parts: list[str] = []
    for line in lines:
        under = " " * (len(line) - len(line.lstrip()) + 2)
        parts += [line] if len(line) <= width else wrap(line, width, subsequent_indent=under, break_on_hyphens=False)
    return "\n".join(parts)


def show_page(text: str, *, pager: bool = True) -> None:
    """Print a page; on a terminal one that is longer than the screen goes through a pager, unless there is none or none is wanted.

    The pager is the one that PAGER names; an empty PAGER is none. What a pager that cannot run does not show is printed all the same.
    """
    terminal = all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))
    command = _pager() if pager and terminal else ""
    text = text.removesuffix("\n") + "\n"
    if not command or text.count("\n") < get_terminal_size().lines or not _paged(text, command):
        sys.stdout.write(text)


def _pager() -> str:
    """Return the command of the pager, an empty text where there is none."""
    if os.environ.get("TERM", "") in {"dumb", "emacs"}:
        return ""
    named = os.environ.get("PAGER")
    return next((name for name in PAGERS if which(name)), "") if named is None else named.strip()


def _paged(text: str, command: str) -> bool:
    """Show a text in a pager and return whether it ran; its reader may leave it early, by which nothing is lost that he wanted."""
    import subprocess

    sys.stdout.flush()
    wanted = {"LESS": "-R"} | os.environ
    process = subprocess.Popen(command, shell=True, stdin=subprocess.PIPE, env=wanted)  # noqa: S602 the user's own command
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)  # on a terminal that key is the pager's
    try:
        process.communicate(text.encode(sys.stdout.encoding, IN_PLAIN_LETTERS))
    finally:
        signal.signal(signal.SIGINT, before)
    return process.returncode not in NOT_RUN


def write_new_file(path: Path, content: str | bytes, *, force: bool) -> None:
    """Write a file that its reader goes on with, over an existing file only with ``force``. Raises InputError where that fails."""
    write_new_files({path: content}, force=force)


def write_new_files(contents: Mapping[Path, str | bytes], *, force: bool) -> None:
    """Write files that their reader goes on with, over existing ones only with ``force``. Raises InputError where that fails."""
    for path in contents:
        if path != STANDARD_OUTPUT and os.path.lexists(path) and not force:
            raise InputError(Problem(f"{path}: the file exists already", hint=OR_FORCE))
    write_files(contents, force=force)


def write_targets(texts: Mapping[str, str], *, force: bool) -> None:
    """Write texts to the files that are named, or to standard output where that is -. Raises InputError where that fails."""
    write_files({Path(target): text for target, text in texts.items()}, force=force)


def refuse_two_on_output(*targets: str | Path | None) -> None:
    """Raise InputError where two files are to go to standard output."""
    if [str(target) for target in targets].count("-") > 1:
        raise InputError(Problem("two files cannot both go to standard output", hint="name a file for one of them"))


@contextmanager
def progress_bar(what: str) -> Iterator[Callable[[int, int], None] | None]:
    """Show a bar for work that takes long: on standard error, on a terminal only, without colour, and not before it has taken a while.

    Gives a function that is called with how much is done, and of how much; None where nobody looks at a terminal.
    """
    if not sys.stderr.isatty():
        yield None
        return
    start, bar = monotonic(), None

    def tell(done: int, total: int) -> None:
        nonlocal bar
        if bar is None and monotonic() - start > PATIENCE_S:
            bar = _started_bar(what, total)
        if bar is not None:
            bar.update(bar.task_ids[0], completed=done, total=total)

    try:
        yield tell
    finally:
        if bar is not None:
            bar.stop()


def _started_bar(what: str, total: int) -> Progress:
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn()
    bar = Progress(*columns, console=Console(stderr=True, color_system=None), transient=True)
    bar.add_task(what, total=total)
    bar.start()
    return bar
