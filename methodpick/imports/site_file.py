"""The site file, format ``methodpick: 1``: from YAML to the models of the ground, every problem at once."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from methodpick.errors import InputError, Problem
from methodpick.ground.site import Site
from methodpick.imports.reading import MISSING, Missing, Reading, naming, shown
from methodpick.imports.site_walk import read_map
from methodpick.regular_file import read_beginning
from methodpick.strict_yaml import examine

FORMAT = 1
_SNIFF_BYTES = 4000
_FOREIGN: tuple[tuple[str, str, str], ...] = (
    (r'\s*"\*\*', "an AGS3 file", "export it as AGS4"),
    (r'\s*"GROUP"', "an AGS4 file", "give the shaft beside it: --boring, --diameter and --tip"),
    (r"\s*<(?:\?xml|\w+)", "an XML file", "convert it to a site file first, or write one with 'methodpick new'"),
    (r'\s*\{.*"methodpick-plan', "a finished plan in JSON, not a site", "give the site file that it was made from"),
    (r"%PDF", "a PDF", "write the log into a site file; 'methodpick new' writes one to start from"),
    (r"PK\x03\x04", "a zip archive or a workbook", "unpack it, or write the log into a site file"),
)


def read_site(source: Path | str, name: str | None = None) -> tuple[Site, str]:
    r"""Read a site from a file (Path) or a text (str); gives the site and the SHA-256 digest of what was read.

    Raises InputError with all problems of the file, each with its place.

    >>> site, digest = read_site("methodpick: 1\nborings: [{id: B-1}]")
    >>> site.borings[0].id, len(digest)
    ('B-1', 64)
    """
    _refuse_foreign(source, name)
    document = examine(source, name)
    reading = Reading(document, _units(document.value))
    value = _body(reading)
    if isinstance(value, Missing):
        raise InputError(reading.problems)
    tree = read_map(reading, (), value, Site)
    if reading.problems or isinstance(tree, Missing):
        raise InputError(reading.problems)
    try:
        return Site.model_validate(tree), document.digest
    except ValidationError as error:
        raise InputError(_left_over(reading, error)) from None


def _refuse_foreign(source: Path | str, name: str | None) -> None:
    head = read_beginning(source, _SNIFF_BYTES).decode("utf-8-sig", "replace") if isinstance(source, Path) else source[:_SNIFF_BYTES]
    for pattern, what, hint in _FOREIGN:
        if re.match(pattern, head, re.DOTALL):
            where = name or (str(source) if isinstance(source, Path) else "the text")
            raise InputError(
                Problem(f"{where}: this is {what}, not a site file", expected="a YAML file that starts with 'methodpick: 1'", hint=hint)
            )


def _body(reading: Reading) -> dict[str, Any] | Missing:
    """Return the map without its first key, which must be ``methodpick: 1``; nothing where it may be another file."""
    value = reading.document.value
    expected = f"a map whose first key is 'methodpick: {FORMAT}'"
    if not isinstance(value, dict):
        return reading.complain(
            (), f"this is {shown(value)}, not a site file", expected, "'methodpick new' writes a site file to start from"
        )
    first = next(iter(value), "")
    if first != "methodpick":
        stands = "methodpick" in value
        reading.complain(
            (first,),
            f"the first key is '{first}', not 'methodpick'",
            expected,
            "move 'methodpick' to the top" if stands else f"if this is a site file, write 'methodpick: {FORMAT}' above the first line",
            key=True,
        )
        if not stands:
            return MISSING
    if value["methodpick"] != FORMAT or isinstance(value["methodpick"], bool):
        return reading.complain(
            ("methodpick",),
            f"the format {shown(value['methodpick'])} is not known",
            f"methodpick: {FORMAT}",
            "a newer file needs a newer methodpick",
        )
    return {key: entry for key, entry in value.items() if key != "methodpick"}


def _units(value: Any) -> Any:
    site = value.get("site") if isinstance(value, dict) else None
    units = site.get("units") if isinstance(site, dict) else None
    return units if units in ("us", "si") else "us"


def _left_over(reading: Reading, error: ValidationError) -> list[Problem]:
    """Return what only the models found; the walk should have met it, so this is the net below it."""
    problems = []
    for detail in error.errors():
        path = detail["loc"]
        said = detail["msg"].removeprefix("Value error, ")
        problems.append(Problem(f"{naming(path)}: {said}", reading.document.place(path)))
    return problems
