"""Boreholes of DIGGS: their names, their axes and the unit of their depths."""

from __future__ import annotations

from collections.abc import Iterable

from methodpick.errors import InputError, Place, Problem
from methodpick.imports.diggs_amounts import UNITS, linked
from methodpick.imports.input_formats import DoubtBook
from methodpick.imports.xml_tree import Element

_NO_BOREHOLE = ("Sounding", "Well", "TrialPit", "TransectLine", "Station")


class Boreholes:
    """The boreholes of a file by their id, with what other features of the file are no borehole."""

    def __init__(self, elements: Iterable[Element], book: DoubtBook) -> None:
        """Find the boreholes, the features that are something else, and the wells that stand in a borehole.

        Raises InputError where a borehole does not say the unit of its depths.
        """
        self.book = book
        self.elements: dict[str, Element] = {}
        self.standing_in: dict[str, str] = {}
        for element in elements:
            identity = element.attributes.get("id", "")
            if element.name == "Borehole":
                self.elements[identity or f"line {element.line}"] = element
            elif element.name in _NO_BOREHOLE:
                self.standing_in[identity] = linked(element.child("samplingFeatureRef"))
        self.names = {identity: element.value("name") or identity for identity, element in self.elements.items()}
        axes = {identity: element.child("linearReferencing", "LinearSpatialReferenceSystem") for identity, element in self.elements.items()}
        self._axes = {axis.attributes.get("id", ""): self.names[identity] for identity, axis in axes.items() if axis is not None}
        self._units = {self.names[identity]: self._depth_unit(element) for identity, element in self.elements.items()}

    @property
    def others(self) -> frozenset[str]:
        """Return the ids of features that are no borehole."""
        return frozenset(self.standing_in)

    @property
    def in_feet(self) -> bool:
        """Return whether the depths of most boreholes are in feet."""
        feet = [unit.lower().startswith("f") for unit in self._units.values()]
        return sum(feet) * 2 > len(feet)

    def named(self, identity: str) -> str | None:
        """Return the name of a borehole by its id or by that of a well in it, None where there is none."""
        return self.names.get(identity) or self.names.get(self.standing_in.get(identity, ""))

    def along(self, axis: str) -> str | None:
        """Return the name of the borehole whose axis has an id, None where there is none."""
        return self._axes.get(axis) if axis else None

    def unit(self, boring: str) -> str:
        """Return the unit of the depths along a borehole."""
        return self._units[boring]

    def _depth_unit(self, element: Element) -> str:
        """Return the unit of depths along a borehole: of its linear reference, else of its total depth."""
        system = element.child("linearReferencing", "LinearSpatialReferenceSystem", "lrm")
        stated = system.value("LinearReferencingMethod", "units") if system is not None else ""
        link = system.attributes.get("href", "") if system is not None else ""
        total = element.child("totalMeasuredDepth")
        for unit in (stated, link.rpartition("_")[2], total.attributes.get("uom", "") if total is not None else ""):
            if unit.strip().lower() in UNITS:
                return unit.strip()
        where = Place(self.book.file, element.line, 1)
        message = f"borehole {element.value('name')} does not say the unit of its depths"
        raise InputError(Problem(message, where, "units of its linear reference, m or ft", "ask whoever exported the file"))
