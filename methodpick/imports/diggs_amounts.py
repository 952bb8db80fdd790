"""Numbers of DIGGS with their units, and links inside a file."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.imports.xml_tree import Element

UNITS: dict[str, tuple[str, float]] = {
    "ft": ("ft", 1.0),
    "ft[us]": ("m", 1200 / 3937),
    "ftus": ("m", 1200 / 3937),
    "foot": ("ft", 1.0),
    "feet": ("ft", 1.0),
    "in": ("in", 1.0),
    "m": ("m", 1.0),
    "metre": ("m", 1.0),
    "meter": ("m", 1.0),
    "cm": ("cm", 1.0),
    "mm": ("mm", 1.0),
    "tonf[us]/ft2": ("tsf", 1.0),
    "lbf/ft2": ("psf", 1.0),
    "lbf/in2": ("psi", 1.0),
    "ksi": ("ksi", 1.0),
    "kpa": ("kPa", 1.0),
    "mpa": ("MPa", 1.0),
}
"""Names of units in DIGGS, in small letters: the name here and the factor to it. The survey foot is 1200/3937 m, exactly."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A number of the file as text, with the name of its unit; both empty where there is none."""

    text: str = ""
    unit: str = ""


def amount(text: str, unit: str) -> Amount:
    """Return a number with a unit as it is known here; what is no number stays as it stands.

    >>> amount("3.5", "ft"), amount("39.37", "ft[US]").unit
    (Amount(text='3.5', unit='ft'), 'm')
    """
    known, factor = UNITS.get(unit.strip().lower(), (unit.strip(), 1.0))
    if factor != 1.0:
        try:
            text = f"{float(text) * factor:.6f}"
        except ValueError:
            known = unit.strip()
    return Amount(text, known)


def measured(element: Element | None) -> Amount:
    """Return the number of an element with the unit of its attribute ``uom``."""
    return Amount() if element is None else amount(element.text, element.attributes.get("uom", ""))


def linked(element: Element | None) -> str:
    """Return the id that an element links to inside the file, empty where it links to none."""
    return element.attributes.get("href", "").rpartition("#")[2] if element is not None else ""
