"""A form, to fill in or filled: sheets with headings, units, choices and an example, whatever it is written as."""

from __future__ import annotations

from methodpick.records import record

FormCell = str | float | None
"""What stands in a cell of a form; None where it is blank."""


@record
class FormColumn:
    """A column of a form: its heading with its unit, what it means, and the words that may stand there, none where any may."""

    heading: str
    meaning: str
    choices: tuple[str, ...] = ()


@record
class FormSheet:
    """A sheet of a form: its name, what it holds, its columns, and its rows: of a site, or examples to write over."""

    name: str
    explanation: str
    columns: tuple[FormColumn, ...]
    rows: tuple[tuple[FormCell, ...], ...]
