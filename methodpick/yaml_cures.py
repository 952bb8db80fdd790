"""What to do about text that is no YAML, by the parser's words and the line: the natural mistakes of somebody who writes a site file."""

from __future__ import annotations

import re

from methodpick.patterns import pattern_of

_NO_SPACE = pattern_of(r"^\s*(?:- )?([A-Za-z_]+):(?=[^\s/\\])")
_QUOTED = pattern_of(r'"[^"]*"|(?<![A-Za-z])\'[^\']*\'')
_NO_COMMA = pattern_of(r"[^,{\[\s]\s+([A-Za-z_]+):\s")
_OPENED = pattern_of(r"(?:^|[:,\[{]|-)\s*(\"(?:[^\"\\\\]|\\\\.)*|'[^']*)$")
"""A text in quotes that begins on a line and does not end there."""
_DASH = pattern_of(r"^\s*-[{\[\"'A-Za-z]")
GENERAL = "check indentation, brackets and quotes near the caret"


def cure(message: str, line: str, column: int) -> str:
    """Return what to do about a mistake that the parser names at a column (from 0) of a line.

    >>> cure("could not find expected ':'", "    depth:60", 4)
    "write a space behind the colon: 'depth: 60'"
    >>> cure("while parsing a flow mapping did not find expected ',' or '}'", "- {top: 0 base: 20}", 14)
    "put a comma before 'base:'"
    """
    rest = line[column:]
    if "\t" in line[: len(line) - len(line.lstrip())] or "tab" in message or "\\t" in message:
        return "indent with spaces, not tabs"
    if _DASH.match(line):
        return "put a space behind the dash: '- '"
    if "quoted scalar" in message:
        return "the quote that opens here is not closed; write a quote at the end of the text"
    if "cannot start any token" in message:
        return _start_of_value(rest)
    if "could not find expected ':'" in message and (found := _NO_SPACE.match(line)):
        return f"write a space behind the colon: '{found[1]}: {line[found.end() :].strip()}'"
    if "flow" in message:
        return _flow(line, column)
    if "mapping values are not allowed" in message:
        return "quote text that holds ': ', or check the indentation"
    if "block" in message:
        return "line it up with the keys or the '- ' above it: what belongs together starts in one column"
    return GENERAL


def cure_above(message: str, lines: list[str], at: int) -> str:
    """Return what to do where the mistake stands on the line above the one (from 0) that the parser names; empty where it does not.

    >>> cure_above("while parsing a flow mapping did not find expected ',' or '}'", ["a: {b: 1", "c: 2"], 1)
    "the '{' on line 1 is not closed; write '}' at its end"
    >>> cure_above("while parsing a block mapping did not find expected key", ['a: "soft clay', "b: 2", 'c: "CL"'], 2)
    'the quote that opens on line 1 is not closed there; write a quote at the end of the text'
    """
    above = next((index for index in range(at - 1, -1, -1) if index < len(lines) and lines[index].strip()), None)
    if above is None or _NO_SPACE.match(lines[at] if at < len(lines) else ""):
        return ""
    line = lines[above]
    if "could not find expected ':'" in message and (found := _NO_SPACE.match(line)):
        return f"write a space behind the colon on line {above + 1}: '{found[1]}: {line[found.end() :].strip()}'"
    if "block mapping" in message or "flow" in message:
        quoted = next(
            (index for index in range(min(at, len(lines)) - 1, -1, -1) if _OPENED.search(lines[index].split(" #")[0].rstrip())), None
        )
        if quoted is not None:
            return f"the quote that opens on line {quoted + 1} is not closed there; write a quote at the end of the text"
    if "flow" not in message:
        return ""
    plain = _QUOTED.sub("", line)
    for opened, closed in ("{}", "[]"):
        if plain.count(opened) > plain.count(closed) and not plain.rstrip().endswith((opened, ",")):
            return f"the '{opened}' on line {above + 1} is not closed; write '{closed}' at its end"
    return ""


def _start_of_value(rest: str) -> str:
    if rest[:1] == ">":
        return "write what is known as a range, for example [500, 800], or quote the text"
    return f"quote text that starts with '{rest[:1]}'" if rest[:1] in "%@`" else "quote text that starts with a special sign"


def _flow(line: str, column: int) -> str:
    """Return the cure inside brackets: an unquoted text with a colon, a comma that lacks, a bracket that is not closed."""
    if line[column : column + 1] in ("{", "["):
        bracket = line[column]
        return f"the '{bracket}' that opens here is not closed; write '{'}' if bracket == '{' else ']'}' at the end"
    text = re.search(r"([A-Za-z_]+):\s+([A-Za-z][^,{}\[\]:]*)$", line[:column])
    if text and not re.search(r"\s(?:true|false|yes|no)\s+\w+$", f" {text[2]}"):
        return f"quote the text of '{text[1]}', which holds a colon or a bracket"
    for found in _NO_COMMA.finditer(line):
        if found.start(1) <= column <= found.end():
            return f"put a comma before '{found[1]}:'"
    return "quote text that holds a colon or a bracket, and put commas between the entries"
