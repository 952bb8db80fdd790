"""What went wrong in a user's file, where, what was expected and what to do; foreign text and misspelt words in it.

Library code raises :class:`MethodpickError`; only the command line turns it into text and an exit code.
"""

from __future__ import annotations

import codecs
import re
import unicodedata
from collections.abc import Callable, Iterable
from difflib import get_close_matches

from methodpick.patterns import pattern_of
from methodpick.records import record

# ---- Foreign text made fit to be written: what a reader does not see becomes a sign that is seen


_UNFIT = pattern_of(
    "[^\t\n\r\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
    "|[\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)
"""Control characters, halves of signs, and what turns, hides or breaks the text around it without being seen."""


def printable(text: str) -> str:
    r"""Replace signs that a reader would not see but a terminal, a browser or an editor would obey, by one that is seen.

    >>> printable("clay\x00 with\ud800 sand")
    'clay\ufffd with\ufffd sand'
    >>> printable("\x1b[2J\x9b2J\u202edry")
    '\ufffd[2J\ufffd2J\ufffddry'
    """
    return text if text.isascii() and text.isprintable() else _UNFIT.sub("\ufffd", text)


def on_terminal(text: str) -> str:
    r"""Replace also what moves back to the beginning of a line, so that nothing printed can be written over.

    >>> on_terminal("danger\rfine  ")
    'danger\ufffdfine  '
    """
    return printable(text).replace("\r", "\ufffd")


IN_PLAIN_LETTERS = "methodpick-in-plain-letters"
"""The name under which encodings find what stands for a sign that they cannot hold."""
_PLAIN = {
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
    **dict.fromkeys("\u2018\u2019\u2032", "'"),
    **dict.fromkeys("\u201c\u201d\u2033", '"'),
    **{sign: f"^{digit}" for sign, digit in zip("\u2070\u2074\u2075\u2076\u2077\u2078\u2079\u207b", "0456789-", strict=True)},
    "\u00b7": ".",
    "\u2022": "*",
    "\u00d7": "x",
    "\u00f7": "/",
    "\u00b1": "+/-",
    "\u2264": "<=",
    "\u2265": ">=",
    "\u2248": "~",
    "\u00b0": " deg ",
    "\u00b5": "u",
    "\u03bc": "u",
    "\u00df": "ss",
    "\u20ac": "EUR ",
    "\u00a3": "GBP ",
    "\u2192": "->",
    "\u00d8": "O",
    "\u00f8": "o",
    "\u00c6": "AE",
    "\u00e6": "ae",
}
"""What stands for signs of site files and pages where a terminal knows only plain letters; accents are left out besides."""


def in_plain_letters(error: UnicodeError) -> tuple[str, int]:
    """Return what stands for signs that an encoding cannot hold, a question mark where nothing does; a number stays the number it is.

    >>> "12 m\u00b3, 1\u00bd in, 10\u2076, \u00b125 %, caf\u00e9 \u7802".encode("ascii", IN_PLAIN_LETTERS).decode()
    '12 m3, 1 1/2 in, 10^6, +/-25 %, cafe ?'
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_plain, error.object[error.start : error.end])), error.end


def _plain(sign: str) -> str:
    if sign in _PLAIN:
        return _PLAIN[sign]
    parts = unicodedata.normalize("NFKD", sign).replace("\u2044", "/")
    fraction = " " if "/" in parts else ""
    return fraction + parts.encode("ascii", "ignore").decode() or "?"


codecs.register_error(IN_PLAIN_LETTERS, in_plain_letters)


def escaped_in_json(text: str) -> str:
    r"""Write the same signs in the text of a JSON file as escapes, by which nothing is lost.

    >>> escaped_in_json('"\u202eclay"')
    '"\\u202eclay"'
    """
    return text if text.isascii() else _UNFIT.sub(_escape, text)


def _escape(found: re.Match[str]) -> str:
    sign = found[0].encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{sign[start : start + 4]}" for start in range(0, len(sign), 4))


# ---- What went wrong in a user's file, where, what was expected and what to do


MOST_SHOWN = 100
"""Problems of a file that are kept and printed before the rest is only counted: a reader mends no more at a time, and
looking for the likely spelling of every word of a broken file would take minutes."""


@record
class Place:
    """A spot in a file; line and column count from 1, ``text`` is the whole line.

    >>> str(Place("site.yaml", 3, 5))
    'site.yaml:3:5'
    """

    file: str
    line: int
    column: int
    text: str = ""
    width: int = 1

    def __str__(self) -> str:
        """Write ``file:line:column``, the form that editors can jump to."""
        return f"{self.file}:{self.line}:{self.column}"

    def caret(self) -> str:
        """Return the source line and a caret under the spot, indented; empty without a line.

        >>> print(Place("a.yaml", 1, 3, "n: -4", 2).caret())
            n: -4
              ^^
        """
        if not self.text.strip():
            return ""
        line = self.text.replace("\t", " ").rstrip()
        start = self.column - 1
        shown, shift = (line, 0) if len(line) <= 100 else (line[max(0, start - 40) : start + 60], max(0, start - 40))
        marks = max(1, min(self.width, len(shown) - (start - shift)))
        return f"    {shown}\n    {' ' * (start - shift)}{'^' * marks}"


@record
class Problem:
    """One thing that is wrong, with its place, what was expected and what to do about it."""

    message: str
    place: Place | None = None
    expected: str = ""
    hint: str = ""

    def render(self) -> str:
        """Write the problem over a few lines.

        >>> print(Problem("'gravle' is not a soil", Place("s.yaml", 2, 9), hint="did you mean 'gravel'?").render())
        s.yaml:2:9: 'gravle' is not a soil
            hint: did you mean 'gravel'?
        """
        lines = [in_short(f"{self.place}: {self.message}" if self.place else self.message)]
        if self.place and (caret := self.place.caret()):
            lines.append(on_terminal(caret))
        if self.expected:
            lines.append(in_short(f"    expected: {self.expected}"))
        if self.hint:
            lines.append(in_short(f"    hint: {self.hint}"))
        return "\n".join(lines)


MOST_LETTERS = 1200
"""Letters of a line of a message; a name of a hundred thousand letters is known by its ends."""


def in_short(text: str) -> str:
    """Return a line of a message without line ends and what a terminal would obey, a long one without its middle.

    >>> in_short("there is no boring 'B-1'"), len(in_short("B" * 300_000)) < 1300
    ("there is no boring 'B-1'", True)
    """
    if len(text) > MOST_LETTERS:
        text = f"{text[: MOST_LETTERS // 2]} ... ({len(text):,} letters) ... {text[-MOST_LETTERS // 4 :]}"
    return on_terminal(text).replace("\n", " ")


class Problems:
    """The problems of one file, the first ``MOST_SHOWN`` whole and the rest counted.

    ``known`` are those that an earlier reader of the file found; a second one at the place of one of them says nothing new
    and is left out, so that ``2e400`` is too large a number and not also a wrong depth.

    >>> found = Problems()
    >>> for number in range(102):
    ...     found.note(lambda: Problem(f"problem {number}"))
    >>> len(found.kept), found.left, found.full
    (100, 2, True)
    """

    def __init__(self, known: Iterable[Problem] = (), left: int = 0) -> None:
        """Start with the problems that are known already."""
        self.kept, self.left, self._silent = list(known), left, 0
        self._known = {str(problem.place) for problem in self.kept if problem.place}

    def after(self) -> Problems:
        """Return a collection for the next reader of the file, in which these are known."""
        return Problems(self.kept, self.left)

    def __len__(self) -> int:
        """Return the count of all, also of those that are not kept."""
        return len(self.kept) + self.left

    @property
    def met(self) -> int:
        """Return the count of all, those left out included, to compare with a later count."""
        return len(self) + self._silent

    @property
    def full(self) -> bool:
        """Return whether one more would only be counted, so that a hint for it is not needed."""
        return len(self.kept) >= MOST_SHOWN

    def note(self, make: Callable[[], Problem]) -> None:
        """Add a problem, made only where it will be kept."""
        if self.full:
            self.left += 1
        elif (problem := make()).place and str(problem.place) in self._known:
            self._silent += 1
        else:
            self.kept.append(problem)

    def in_order(self) -> list[Problem]:
        """Return those that are kept file by file in the order of the lines, those without a place first."""
        files: dict[str, int] = {}
        return sorted(
            self.kept,
            key=lambda problem: (
                (files.setdefault(problem.place.file, len(files)), problem.place.line, problem.place.column)
                if problem.place
                else (-1, 0, 0)
            ),
        )

    def take(self, error: MethodpickError) -> None:
        """Add all that an error carries: those of one more file, which are few enough already."""
        self.kept += error.problems
        self.left += error.left


class MethodpickError(Exception):
    """A problem with what the user gave; carries every :class:`Problem` found, not only the first.

    ``left`` counts those that were found and not kept, where a file has very many.
    """

    exit_code = 2

    def __init__(self, problems: Problems | list[Problem] | tuple[Problem, ...] | Problem | str) -> None:
        """Carry one problem, several, those of a file, or a bare sentence."""
        if isinstance(problems, str):
            problems = Problem(problems)
        self.left = problems.left if isinstance(problems, Problems) else 0
        several = problems.in_order() if isinstance(problems, Problems) else problems
        self.problems: tuple[Problem, ...] = (several,) if isinstance(several, Problem) else tuple(several)
        super().__init__("\n".join(problem.render() for problem in self.problems))

    def render(self) -> str:
        """Write all problems, the first ``MOST_SHOWN`` in full.

        >>> print(InputError("the file is empty").render())
        the file is empty
        """
        shown = [problem.render() for problem in self.problems[:MOST_SHOWN]]
        left = len(self.problems) - len(shown) + self.left
        if left > 0:
            shown.append(f"... and {left:,} more {'problem' if left == 1 else 'problems'}; mend these first")
        return "\n".join(shown)


class InputError(MethodpickError):
    """The site file, the boring log or the command line is wrong."""

    exit_code = 2


class RuleError(MethodpickError):
    """The rulebook is wrong; nothing is decided with a rulebook that does not load whole."""

    exit_code = 3


# ---- Messages about words that are not on a closed list: what is not there, what there is, what was likely meant


MOST_LISTED, MOST_LISTED_LETTERS = 60, 280
"""Words of a closed list, and letters of them, that are written out in a message."""


def one_of(words: Iterable[str]) -> str:
    """Write what is allowed, a long list only in its beginning.

    >>> one_of(["sand", "gravel"])
    'one of sand, gravel'
    >>> one_of(str(number) for number in range(300))[-21:]
    '59 ... and 240 others'
    """
    known = [str(word) for word in words]
    listed = known[:MOST_LISTED]
    while len(listed) > 1 and len(", ".join(listed)) > MOST_LISTED_LETTERS:
        listed.pop()
    more = len(known) - len(listed)
    return f"one of {', '.join(listed)}" + (f" ... and {more} others" if more > 0 else "")


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """Return "did you mean 'x'?" where a word like it exists, else an empty text.

    >>> did_you_mean("gravle", ["sand", "gravel"])
    "did you mean 'gravel'?"
    >>> did_you_mean("xyz", ["sand"])
    ''
    """
    known = {str(candidate).lower(): str(candidate) for candidate in words}
    close = get_close_matches(str(word).lower(), list(known), n=1, cutoff=0.6)
    return f"did you mean '{known[close[0]]}'?" if close else ""


def no_such(what: str, word: str) -> str:
    """Write that a name is not known.

    >>> no_such("boring", "B-7")
    "there is no boring 'B-7'"
    """
    return f"there is no {what} '{word}'"
