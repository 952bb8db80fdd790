"""Options and arguments of a command as they are declared: without typer, which is imported where a command line has to be read."""

from __future__ import annotations

from typing import Any, Literal


class Declared:
    """An option or an argument, with what typer takes for it."""

    kind: Literal["Option", "Argument"]

    def __init__(self, *names: str, **more: Any) -> None:
        """Take the names on the command line, and help, ends and the like by the words that typer has for them."""
        self.names, self.more = names, more


class CommandOption(Declared):
    """An option of a command."""

    kind = "Option"


class CommandArgument(Declared):
    """An argument of a command."""

    kind = "Argument"
