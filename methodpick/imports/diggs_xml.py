"""XML of DIGGS: elements by local names, amounts with units, boreholes, and the rows of a log that are made of them.

A document type, an entity of its own, deep nesting and very many elements are refused with the reason, as nothing in an
exchange file needs them and each can blow a small file up.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import field
from typing import NoReturn
from xml.parsers import expat

from methodpick.errors import InputError, Place, Problem
from methodpick.imports.input_formats import DoubtBook
from methodpick.imports.log_tables import DataRow
from methodpick.records import record

# ---- elements; what could make a parser work without end is refused


MOST_DEPTH = 100
MOST_ELEMENTS = 1_000_000


@record(frozen=False)
class Element:
    """An element: its name and those of its attributes without prefix, its own text, its children, its line, its number in the file."""

    name: str
    attributes: dict[str, str]
    line: int
    number: int
    text: str = ""
    children: list[Element] = field(default_factory=list)

    def child(self, *path: str) -> Element | None:
        """Return the first element at a path of names below this one, None where there is none."""
        here: Element | None = self
        for name in path:
            here = next((child for child in here.children if child.name == name), None) if here is not None else None
        return here

    def all(self, *path: str) -> list[Element]:
        """Return every element at a path of names below this one."""
        found = [self]
        for name in path:
            found = [child for element in found for child in element.children if child.name == name]
        return found

    def value(self, *path: str) -> str:
        """Return the text of the first element at a path, blanks joined; empty where there is none."""
        found = self.child(*path)
        return " ".join(found.text.split()) if found is not None else ""

    def inside(self) -> Iterator[Element]:
        """Return this element and all below it, in the order of the file."""
        stack = [self]
        while stack:
            element = stack.pop()
            yield element
            stack += reversed(element.children)


def read_xml(content: bytes, file: str, root: str) -> Element:
    """Return the root element of an XML file. Raises InputError where it is no XML, is not rooted in ``root``, or is hostile."""
    builder = _Builder(file)
    parser = expat.ParserCreate(namespace_separator=" ")
    builder.listen(parser)
    try:
        parser.Parse(content, True)
    except expat.ExpatError as error:
        place = Place(file, error.lineno, error.offset + 1)
        raise InputError(
            Problem(f"this is no well-formed XML: {expat.errors.messages[error.code]}", place, hint="export the file again")
        ) from None
    except (LookupError, ValueError):  # an encoding that is not known, or no text in it
        raise InputError(
            Problem(f"{file}: the encoding of this XML cannot be read", expected="UTF-8", hint="export the file again")
        ) from None
    found = builder.root
    if found is None or found.name != root:
        name = found.name if found is not None else "nothing"
        raise InputError(Problem(f"{file}: the XML holds {name}, not {root}", expected=f"an XML file whose outermost element is {root}"))
    return found


class _Builder:
    """Builds the elements while the parser reads."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.root: Element | None = None
        self.stack: list[Element] = []
        self.texts: list[list[str]] = []
        self.count = 0

    def listen(self, parser: expat.XMLParserType) -> None:
        self.parser = parser
        parser.buffer_text = True
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text
        parser.StartDoctypeDeclHandler = self._doctype
        parser.EntityDeclHandler = self._entity

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self.count += 1
        if len(self.stack) >= MOST_DEPTH or self.count > MOST_ELEMENTS:
            self._refuse(f"the file has elements more than {MOST_DEPTH} deep, or more than {MOST_ELEMENTS:,}")
        plain = {key.rpartition(" ")[2]: value for key, value in attributes.items()}
        element = Element(name.rpartition(" ")[2], plain, self.parser.CurrentLineNumber, self.count)
        if self.stack:
            self.stack[-1].children.append(element)
        else:
            self.root = element
        self.stack.append(element)
        self.texts.append([])

    def _end(self, name: str) -> None:
        del name
        self.stack.pop().text = "".join(self.texts.pop()).strip()

    def _text(self, text: str) -> None:
        self.texts[-1].append(text)

    def _doctype(self, *declared: object) -> None:
        del declared
        self._refuse("the file declares a document type (DOCTYPE)")

    def _entity(self, *declared: object) -> None:
        del declared
        self._refuse("the file declares entities of its own")

    def _refuse(self, why: str) -> NoReturn:
        place = Place(self.file, self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber + 1)
        raise InputError(Problem(f"{why}, which is not read", place, "plain elements and text", "export the file without it"))


# ---- numbers with their units, and links inside a file


UNITS: dict[str, tuple[str, float]] = {
    "ft": ("ft", 1.0),
    "ft[us]": ("m", 1200 / 3937),
    "ftus": ("m", 1200 / 3937),
    "[ft_us]": ("m", 1200 / 3937),
    "us-ft": ("m", 1200 / 3937),
    "foot": ("ft", 1.0),
    "[ft_i]": ("ft", 1.0),
    "[in_i]": ("in", 1.0),
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


@record
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


# ---- boreholes: their names, their axes and the unit of their depths


HOLES = ("Borehole", "TrialPit")
"""Features whose ground is read; a pit is a short boring."""
_NO_BOREHOLE = ("Sounding", "Well", "TransectLine", "Station")


class Boreholes:
    """The boreholes of a file by their id, with what other features of the file are no borehole."""

    def __init__(self, elements: Iterable[Element], book: DoubtBook) -> None:
        """Find the boreholes, the features that are something else, and the wells that stand in a borehole.

        Raises InputError where a borehole does not say the unit of its depths.
        """
        self.book = book
        self.elements: dict[str, Element] = {}
        self.standing_in: dict[str, str] = {}
        soundings: list[Element] = []
        for element in elements:
            identity = element.attributes.get("id", "")
            if element.name in HOLES:
                self.elements[identity or f"line {element.line}"] = element
            elif element.name in _NO_BOREHOLE:
                self.standing_in[identity] = linked(element.child("samplingFeatureRef"))
                soundings += [element] if element.name == "Sounding" else []
        self.names = self._named()
        axes = {identity: element.child("linearReferencing", "LinearSpatialReferenceSystem") for identity, element in self.elements.items()}
        self._axes = {axis.attributes.get("id", ""): self.names[identity] for identity, axis in axes.items() if axis is not None}
        self._units = {self.names[identity]: self._depth_unit(element) for identity, element in self.elements.items()}
        self.soundings: dict[str, Element] = {}
        """Soundings of the file by their name, those that say the unit of their depths."""
        self._sounding_of: dict[str, str] = {}
        for element in soundings:
            with suppress(InputError):
                self._add_sounding(element)

    def _add_sounding(self, element: Element) -> None:
        """Note a sounding, under another name where a borehole has its own. Raises InputError where the unit of its depths is not said."""
        identity = element.attributes.get("id", "")
        name = element.value("name") or identity
        while name in self._units:
            name = f"{name} (cone)"
        self._units[name] = self._depth_unit(element)
        self.soundings[name], self._sounding_of[identity] = element, name

    def sounding(self, identity: str) -> str | None:
        """Return the name of a sounding by its id, None where there is none."""
        return self._sounding_of.get(identity)

    def _named(self) -> dict[str, str]:
        """Return the name of each borehole by its id; of several with one name, as in files of several projects, the later get a number."""
        found: dict[str, str] = {}
        for identity, element in self.elements.items():
            stated = element.value("name") or identity
            name, count = stated, 1
            while name in found.values():
                count += 1
                name = f"{stated} ({count})"
            if name != stated:
                self.book.add(element.line, f"a second borehole is called {stated}", f"it is called {name} here", severity="serious")
            found[identity] = name
        return found

    @property
    def others(self) -> frozenset[str]:
        """Return the ids of features that are no borehole."""
        return frozenset(self.standing_in)

    @property
    def in_feet(self) -> bool:
        """Return whether the depths of most boreholes are in feet."""
        feet = [self._units[name].lower().startswith("f") for name in self.names.values()]
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


# ---- rows: depths in the unit of the hole, values with the unit that stands beside them


@record
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
                texts[heading] = value.text.strip()
                units[heading] = value.unit
            else:
                texts[heading] = value.strip()
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
