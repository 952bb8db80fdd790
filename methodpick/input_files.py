"""A file that the user names, or standard input: read once, all of it, and never without end; what is said of one that is no text."""

from __future__ import annotations

import stat
import sys
from pathlib import Path

from methodpick.errors import InputError, Place, Problem

STANDARD_INPUT = Path("-")
"""What is named in place of a file where its content comes by standard input; a file of that name has to be named with its folder."""
MOST_PIPED_BYTES = 500_000_000


def name_of(path: Path) -> str:
    """Return what a page calls an input: its last name, that of the folder also where it is named by dots alone.

    >>> name_of(Path("jobs/weir.yaml")), name_of(Path(".")) == Path.cwd().name
    ('weir.yaml', True)
    """
    return path.name if path.name not in ("", "..") else path.resolve().name


_piped: list[tuple[object, bytes]] = []


def _standard_input() -> bytes:
    """Return what comes by standard input. It is read once and kept, since a reader looks at its beginning first."""
    if sys.stdin is None:
        raise InputError(Problem("-: standard input is closed", hint="name a file"))
    if not _piped or _piped[0][0] is not sys.stdin:
        _piped[:] = [(sys.stdin, sys.stdin.buffer.read(MOST_PIPED_BYTES + 1))]
    return _piped[0][1]


def read_bytes(path: Path, name: str, most_bytes: int) -> bytes:
    """Return the bytes of a regular file of at most ``most_bytes``, or of standard input; ``name`` is what messages call it.

    Raises InputError for a folder, a device, a pipe or a socket (reading those may never end), for a file that is
    larger, is not there or cannot be read.
    """
    if path == STANDARD_INPUT:
        data = _standard_input()
        refuse_large(name, len(data), most_bytes)
        return data
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise InputError(Problem(f"{name.rstrip('/')}/: this is a folder, not a file", hint="name a file in it"))
        if not stat.S_ISREG(found.st_mode):
            raise InputError(
                Problem(
                    f"{name}: this is {_kind(found.st_mode)}, which may never end, not a file",
                    expected="a regular file",
                    hint="write what comes from it into a file and name that",
                )
            )
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except FileNotFoundError:
        raise InputError(Problem(f"{name}: there is no such file", hint="check the name and the folder")) from None
    except OSError as error:
        raise InputError(Problem(f"{name}: the file cannot be read: {error.strerror}")) from None
    except ValueError:  # a zero byte in the name
        raise no_name(name) from None
    refuse_large(name, max(found.st_size, len(data)) if len(data) > most_bytes else len(data), most_bytes)
    return data


def no_name(name: str) -> InputError:
    """Return the error for a name that no system takes for a file: one with a zero byte."""
    return InputError(Problem(f"{name!r}: this is not the name of a file"))


def not_utf8(data: bytes, at: int, name: str) -> InputError:
    r"""Return the error for a byte that is no UTF-8 text, at its line and column.

    >>> print(not_utf8(b"id: B-1\nname: Stra\xdfe\n", 18, "site.yaml").render())
    site.yaml:2:11: the file is not UTF-8 text here (byte 223)
        name: Stra\ufffde
                  ^
        hint: save the file as UTF-8
    """
    before = data[:at].decode("utf-8", "replace").removeprefix("\ufeff")
    line = before.count("\n") + 1
    column = len(before) - before.rfind("\n")
    rest = data[at : at + 200].decode("utf-8", "replace").split("\n", 1)[0]
    text = before[before.rfind("\n") + 1 :] + rest
    message = f"the file is not UTF-8 text here (byte {data[at]})"
    return InputError(Problem(message, Place(name, line, column, text), hint="save the file as UTF-8"))


def place_of_sign(text: str, at: int, name: str) -> Place:
    r"""Return the place of the sign at an index of a text.

    >>> str(place_of_sign("a: 1\nb: 2", 8, "site.yaml"))
    'site.yaml:2:4'
    """
    start = text.rfind("\n", 0, at) + 1
    return Place(name, text.count("\n", 0, at) + 1, at - start + 1, text[start:].split("\n", 1)[0])


def refuse_large(name: str, size: int, most_bytes: int) -> None:
    """Raise InputError where a file or text has more than ``most_bytes``."""
    if size > most_bytes:
        hint = "is it the right file? Split it, or leave out what is not read"
        raise InputError(Problem(f"{name}: the file has {size:,} bytes; the most read is {most_bytes:,}", hint=hint))


def refuse_empty(name: str, text: str, expected: str, hint: str = "") -> None:
    """Raise InputError where a file has no text."""
    if not text.strip():
        raise InputError(Problem(f"{name}: the file is empty", expected=expected, hint=hint))


def decoded(content: bytes, name: str, expected: str) -> str:
    """Return the text of a file in UTF-8, UTF-16 with its mark, or else Windows-1252. Raises InputError where it is no text."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", "replace")
    if b"\x00" in content[:4000]:
        raise InputError(Problem(f"{name}: this is not a text file", expected=expected))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


def read_beginning(path: Path, count: int) -> bytes:
    """Return the first bytes of a regular file or of standard input, none of anything else or of what cannot be read."""
    if path == STANDARD_INPUT:
        return _standard_input()[:count]
    try:
        if not path.is_file():
            return b""
        with path.open("rb") as file:
            return file.read(count)
    except (OSError, ValueError):
        return b""


def _kind(mode: int) -> str:
    kinds = ((stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"))
    return next((words for test, words in kinds if test(mode)), "a device")
