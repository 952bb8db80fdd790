"""Rows of a log made of DIGGS elements: depths along the hole in its own unit, values with the unit that stands beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.imports.diggs_amounts import Amount, amount, linked
from methodpick.imports.diggs_boreholes import Boreholes
from methodpick.imports.input_formats import DoubtBook
from methodpick.imports.log_tables import DataRow
from methodpick.imports.xml_tree import Element


@dataclass(frozen=True, slots=True)
class RowMaker:
    """Makes rows of elements, for the borehole that they belong to."""

    book: DoubtBook
    boreholes: Boreholes
    by_id: Mapping[str, Element]

    def row(self, element: Element, boring: str, values: Mapping[str, str | Amount]) -> DataRow:
        """Return a row; ``values`` holds texts and amounts by heading, of which blank ones are left out."""
        texts = {"LOCA_ID": boring}
        units: dict[str, str] = {}
        for heading, value in values.items():
            if isinstance(value, Amount):
                texts[heading] = value.text
                units[heading] = value.unit
            else:
                texts[heading] = value
        written = {heading: f"{heading.partition('_')[2].lower()} of {element.name}" for heading in texts}
        return DataRow(element.name, element.line, texts, units, self.book, written, element.number)

    def home(self, element: Element) -> str | None:
        """Return the borehole that an element refers to, by itself, by its sample or by its place; else the only one of the file.

        None, with a doubt, where that leaves the choice open.
        """
        name = linked(element.child("samplingFeatureRef"))
        boring = self.boreholes.named(name) or (self._by_place(element) if not name else None)
        if boring is not None:
            return boring
        if name in self.boreholes.others:
            self.row(element, "", {}).pass_over("it belongs to no boring")
            return None
        row = self.row(element, "", {})
        if len(self.boreholes.names) == 1:
            only = next(iter(self.boreholes.names.values()))
            row.doubt("the reference to its borehole leads nowhere", f"{only}, the only one of the file, is taken", quoted=name)
            return only
        row.set_aside("the reference to its borehole leads nowhere", quoted=name, severity="serious")
        return None

    def _by_place(self, element: Element) -> str | None:
        """Return the borehole along whose axis an element, or the sample that it was made on, is placed."""
        for found in element.inside():
            place = self.by_id.get(linked(found), found)
            if (boring := self.boreholes.along(place.attributes.get("srsName", "").rpartition("#")[2])) is not None:
                return boring
            if found.name == "sampleRef":
                activity = self.by_id.get(linked(place.child("samplingActivityRef")))
                if activity is not None and (boring := self.boreholes.named(linked(activity.child("samplingFeatureRef")))) is not None:
                    return boring
        return None

    def depths(self, element: Element | None, boring: str) -> tuple[Amount, Amount]:
        """Return top and base of what an element places along the hole, perhaps by a link; either blank where it is not given."""
        if element is not None and linked(element):
            element = self.by_id.get(linked(element), element)
        place = None if element is None else next((found for found in element.inside() if found.name in ("posList", "pos")), None)
        numbers = place.text.split()[:2] if place is not None else []
        unit = self.boreholes.unit(boring)
        found = [amount(number, unit) for number in numbers]
        return (found[0] if found else Amount()), (found[1] if len(found) > 1 else Amount())
