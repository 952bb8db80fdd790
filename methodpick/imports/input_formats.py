"""The input formats, what their readers give back, and the one call that reads a file of any of them.

A format is a line of :data:`FORMATS` and a module with its reader. The modules are imported when a file is read, so that
``--help``, which names the formats, stays fast.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import field
from importlib import import_module
from operator import itemgetter
from pathlib import Path
from typing import TYPE_CHECKING

from methodpick.collector import collector_paused
from methodpick.errors import InputError, Place, Problem
from methodpick.ground.doubt import DoubtSeverity
from methodpick.input_files import read_beginning, read_bytes, refuse_empty
from methodpick.records import record

if TYPE_CHECKING:
    from methodpick.ground.doubt import Doubt
    from methodpick.ground.profile import Profile
    from methodpick.ground.site import Site
    from methodpick.terms import UnitSystem

BEGINNING_BYTES = 4000
"""How much of a file is looked at to recognise its format."""


@record
class InputFormat:
    """An input format: its name with an article, its suffixes, how its text begins, and its reader.

    ``begins`` is a regular expression for the beginning of the file. ``reader`` is ``module:function``; the function takes a
    Path or a text, and a name for messages or None, and returns :class:`Imported`. It raises InputError with every problem.
    """

    name: str
    suffixes: tuple[str, ...]
    begins: str
    reader: str

    def matches(self, beginning: str) -> bool:
        """Return whether a text begins as files of this format do."""
        return re.match(self.begins, beginning, re.DOTALL) is not None

    def read(self, source: Path | str, name: str | None = None) -> Imported:
        """Read a file (Path) or a text (str) of this format. Raises InputError with every problem."""
        module, _, function = self.reader.partition(":")
        with collector_paused():
            read: Imported = getattr(import_module(module), function)(source, name)
        return read


SITE_FILE = InputFormat(
    "a site file", (".yaml", ".yml"), r"(?:\s*#[^\n]*\n)*\s*\{?\s*[\"']?methodpick[\"']?\s*:", "methodpick.imports.site_file:read_site_file"
)
AGS4 = InputFormat(
    "an AGS4 log",
    (".ags", ".ags4"),
    r'\s*["\u201c]?(?i:GROUP)["\u201d]?\s*[,;\t]\s*["\u201c]?[A-Za-z]{4}["\u201d]?[\s,;]*\n',
    "methodpick.imports.ags4:read_ags4",
)
AGS3 = InputFormat("an AGS3 log", (".ags", ".ags3"), r'\s*["\u201c]?\*\*\??[A-Za-z]', "methodpick.imports.ags3:read_ags3")
DIGGS = InputFormat(
    "a DIGGS log", (".xml", ".diggs"), r"\s*(?:<\?xml[^>]*>)?(?:\s|<!--.*?-->)*<(?:\w+:)?Diggs[\s>]", "methodpick.imports.diggs:read_diggs"
)
TABLES = InputFormat(
    "a table or workbook of borings and shafts",
    (".xlsx", ".csv", ".tsv"),
    r"PK\x03\x04|[^\n<{]*?(?i:id|hole|shaft|pier|boring|bh)[^\n]*?[\t;,][^\n]*[\t;,]",
    "methodpick.imports.tables:read_tables",
)
FORMATS = (SITE_FILE, AGS4, AGS3, DIGGS, TABLES)
"""Every format that is read. Where two begin alike or share a suffix, the first that fits is taken."""

NOT_READ = (
    (r"\s*<(?:\?xml|\w+)", "an XML file, not DIGGS", "convert it to a site file first, or write one with 'methodpick new'"),
    (r'\s*\{.*"methodpick-plan', "a finished plan in JSON, not a site", "give the site file that it was made from"),
    (r"%PDF", "a PDF", "write the log into a site file; 'methodpick new' writes one to start from"),
)
"""Files that are recognised only to say what they are: how they begin, what they are, what to do."""


MOST_QUOTED = 200
"""Characters of a file that a doubt quotes at most."""


@record
class ImportDoubt:
    """Something in a foreign file that was not clear: where, the text as it stands, what was done about it."""

    severity: DoubtSeverity
    place: Place
    boring: str
    depth_m: float | None
    message: str
    action: str
    quoted: str = ""

    def render(self) -> str:
        """Write the doubt on one line.

        >>> ImportDoubt("doubt", Place("a.ags", 7, 1), "BH1", 2.5, "no base", "the next top is taken").render()
        'a.ags:7: BH1, 2.50 m: no base; the next top is taken'
        """
        depth = "" if self.depth_m is None else f", {self.depth_m:.2f} m"
        quoted = f" ('{self.quoted}')" if self.quoted else ""
        subject = f"{self.boring}{depth}: " if self.boring else ""
        return f"{self.place.file}:{self.place.line}: {subject}{self.message}{quoted}; {self.action}"


FEWEST_TOGETHER = 3
"""So many doubts of one kind about one boring are told in one line."""


def told_together(doubts: Iterable[ImportDoubt]) -> tuple[str, ...]:
    """Return doubts a line each, many of one kind about one boring in one line, where the first of them stands.

    >>> said = "no soil word is read", "kept"
    >>> named = [ImportDoubt("doubt", Place("a.ags", line, 1), "BH1", line / 2, *said, f"drilled {line}") for line in (7, 9, 8)]
    >>> told_together(named)
    ("a.ags:7 to 9: BH1, 3.50 to 4.50 m, 3 times: no soil word is read ('drilled 7', ...); kept",)
    >>> len(told_together(named[:2]))
    2
    """
    kinds: dict[tuple[str, str, str, str], list[ImportDoubt]] = {}
    for doubt in doubts:
        kinds.setdefault((doubt.place.file, doubt.boring, doubt.message, doubt.action), []).append(doubt)
    lines: list[tuple[int, str]] = []
    for found in kinds.values():
        if len(found) >= FEWEST_TOGETHER:
            lines.append((found[0].place.line, _in_one_line(found)))
        else:
            lines += [(doubt.place.line, doubt.render()) for doubt in found]
    return tuple(text for _, text in sorted(lines, key=itemgetter(0)))


def _in_one_line(found: Sequence[ImportDoubt]) -> str:
    first, at = found[0], [doubt.place.line for doubt in found]
    depths = [doubt.depth_m for doubt in found if doubt.depth_m is not None]
    depth = f", {min(depths):.2f} to {max(depths):.2f} m" if depths else ""
    subject = f"{first.boring}{depth}, " if first.boring else ""
    more = "" if all(doubt.quoted == first.quoted for doubt in found) else ", ..."
    quoted = f" ('{first.quoted}'{more})" if first.quoted else ""
    return f"{first.place.file}:{min(at)} to {max(at)}: {subject}{len(found)} times: {first.message}{quoted}; {first.action}"


@record(frozen=False)
class DoubtBook:
    """Collects the doubts about one file."""

    file: str
    found: list[ImportDoubt] = field(default_factory=list)
    set_aside: dict[tuple[str, int, int], str] = field(default_factory=dict)
    """Why a row, named by its group, line and place on the line, is not used."""
    odd_units: set[tuple[str, str]] = field(default_factory=set)
    """Columns whose unit was told already to be of another kind."""

    def add(self, line: int, message: str, action: str, *, severity: DoubtSeverity = "doubt", quoted: str = "") -> None:
        """Add a doubt about a line that belongs to no boring."""
        self.found.append(ImportDoubt(severity, Place(self.file, line, 1), "", None, message, action, quoted[:MOST_QUOTED]))

    def in_order(self) -> tuple[ImportDoubt, ...]:
        """Return the doubts in order of the file, each once."""
        return tuple(sorted(dict.fromkeys(self.found), key=lambda doubt: (doubt.place.line, doubt.message)))


@record
class GroupCount:
    """How many rows a group of a file has, how many of them are used, and how many are set aside for which reason."""

    group: str
    rows: int
    used: int
    set_aside: tuple[tuple[str, int], ...] = ()
    left_alone: bool = False
    """Whether the whole group is of a kind that is not read."""

    def render(self) -> str:
        """Write the count on one line.

        >>> GroupCount("GEOL", 12, 11, (("the layer has no top", 1),)).render()
        'GEOL: 12 rows read, 11 used, 1 set aside (the layer has no top: 1)'
        """
        aside = self.rows - self.used
        why = f", {aside} set aside ({'; '.join(f'{reason}: {count}' for reason, count in self.set_aside)})" if aside else ""
        return f"{self.group}: {self.rows} rows read, {self.used} used{why}"


def no_place(doubt: Doubt) -> Place | None:
    """Return None: the place of a doubt is not known."""
    del doubt
    return None


@record
class Imported:
    """A file as read: the site, what its reader doubted in order of the file, its SHA-256 digest, and the rows of each group.

    A format that knows nothing of shafts gives a site of borings only, in order of their ids.
    """

    site: Site
    doubts: tuple[ImportDoubt, ...]
    digest: str
    counts: tuple[GroupCount, ...] = ()
    place_of: Callable[[Doubt], Place | None] = no_place
    """Returns where in the file a doubt about the ground comes from, None where that is not known."""
    understood: tuple[str, ...] = ()
    """How the headings of tables were understood, a line a table."""

    @property
    def profiles(self) -> tuple[Profile, ...]:
        """Return the borings."""
        return self.site.borings

    @property
    def units(self) -> UnitSystem:
        """Return the units that the file is written in, which reports about it use too."""
        return self.site.site.units


def read_file(path: Path) -> Imported:
    """Read a file of any known format. Raises InputError with every problem."""
    return format_of(path).read(path)


def format_of(path: Path) -> InputFormat:
    """Return the format of a file: by its suffix, or by how it begins where that leaves the choice open.

    Raises InputError where it is no regular file, or its format is not known.
    """
    if path.is_dir() and any(child.suffix.lower() in TABLES.suffixes for child in path.iterdir()):
        return TABLES
    by_suffix = [known for known in FORMATS if path.suffix.lower() in known.suffixes]
    if len(by_suffix) == 1 and by_suffix != [TABLES]:
        return by_suffix[0]
    beginning = beginning_of(path)
    if by_suffix == [TABLES]:  # logs are often saved as .csv
        return next((known for known in FORMATS if known is not TABLES and known.matches(beginning)), TABLES)
    found = [known for known in by_suffix or FORMATS if known.matches(beginning)] or by_suffix
    if found:
        return found[0]
    if not beginning:
        read_bytes(path, str(path), BEGINNING_BYTES)  # says why nothing can be read
    refuse_empty(str(path), beginning, listed())
    what, hint = foreign(beginning)
    message = f"this is {what}" if what else "the format of this file is not known"
    raise InputError(Problem(f"{path}: {message}", expected=listed(), hint=hint))


def beginning_of(path: Path) -> str:
    """Return the beginning of a file as text; empty where it cannot be read."""
    beginning = read_beginning(path, BEGINNING_BYTES)
    return beginning.decode("utf-16" if beginning.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig", "replace")


def foreign(beginning: str) -> tuple[str, str]:
    """Return what a file is that no reader takes, and what to do; empty texts where that is not known.

    >>> foreign("%PDF-1.7")[0]
    'a PDF'
    """
    return next(((what, hint) for pattern, what, hint in NOT_READ if re.match(pattern, beginning, re.DOTALL)), ("", ""))


def listed(formats: Sequence[InputFormat] = FORMATS) -> str:
    """Write formats with their suffixes, for help and messages.

    >>> listed(FORMATS[:2])
    'a site file (.yaml, .yml) or an AGS4 log (.ags, .ags4)'
    """
    names = [f"{known.name} ({', '.join(known.suffixes)})" for known in formats]
    return " or ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
