"""Read what the user names: a site file or an AGS4 log, a rulebook, quantities with units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.engine.rulebook import Rulebook
    from methodpick.ground.site import Site

AGS_ENDINGS = {".ags", ".ags4"}


@dataclass(frozen=True, slots=True)
class Read:
    """A file as read: the site, its digest, the units to report in, and what the reader doubted, by boring."""

    site: Site
    digest: str
    units: Literal["us", "si"]
    doubts: tuple[tuple[str, str], ...]


def is_ags(path: Path) -> bool:
    """Return whether a file is named like an AGS4 log."""
    return path.suffix.lower() in AGS_ENDINGS


def read_any(path: Path) -> Read:
    """Read a site file or an AGS4 log. Raises InputError with every problem."""
    if is_ags(path):
        from methodpick.ground.site import Site, SiteConditions
        from methodpick.imports.ags4 import read_ags4

        found = read_ags4(path, path.name)
        if not found.profiles:
            raise InputError(Problem(f"{path}: the file holds no boring that can be used"))
        site = Site(site=SiteConditions(name=path.stem, units="si"), borings=found.profiles)
        return Read(site, found.digest, "si", tuple((doubt.boring, doubt.render()) for doubt in found.doubts))
    from methodpick.imports.site_file import read_site

    site, digest = read_site(path)
    return Read(site, digest, site.site.units, ())


def length(text: str, option: str, bare: str) -> float:
    """Read a length such as 1200mm, 48in or 25m. Raises InputError where it is none."""
    from methodpick.units import parse

    try:
        return parse(text, bare, "m")
    except ValueError as error:
        raise InputError(Problem(f"{option} {text}: {error}", expected="a length such as 1200mm, 48in, 25m or 80ft")) from None


def rulebook(rules: Path | None, agency: str, overlays: Sequence[Path]) -> Rulebook:
    """Load the rulebook, the agency's overlay and the user's own. Raises RuleError with every problem."""
    from methodpick.engine.load import load_rulebook, overlay_path
    from methodpick.resources import folder

    home = rules or folder("rules")
    own = overlay_path(home, agency)
    return load_rulebook(home, ([own] if own is not None else []) + list(overlays))


def write(path: Path, content: str | bytes, *, force: bool) -> None:
    """Write a file of text or of bytes; an existing one only with ``force``. Raises InputError where that fails."""
    if path.exists() and not force:
        raise InputError(Problem(f"{path}: the file exists already", hint="name another file, or add --force"))
    try:
        if isinstance(content, bytes):
            path.write_bytes(content)
        else:
            path.write_text(content, encoding="utf-8")
    except OSError as error:
        raise InputError(Problem(f"{path}: the file cannot be written: {error.strerror}")) from None
