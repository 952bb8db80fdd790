"""XML read into plain elements with their lines, by local names; what could make a parser work without end is refused.

A document type, an entity of its own, deep nesting and very many elements are refused with the reason, as nothing in an
exchange file needs them and each can blow a small file up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NoReturn
from xml.parsers import expat

from methodpick.errors import InputError, Place, Problem

MOST_DEPTH = 100
MOST_ELEMENTS = 1_000_000


@dataclass(slots=True)
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
