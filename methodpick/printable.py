"""Foreign text made fit to be written: what a reader does not see becomes a sign that is seen."""

from __future__ import annotations

import re

_UNFIT = re.compile(
    "[^\t\n\r\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
    "|[\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)
"""Control characters, halves of signs, and what turns, hides or breaks the text around it without being seen."""


def printable(text: str) -> str:
    r"""Replace signs that a reader would not see but a terminal, a browser or an editor would obey, by one that is seen.

    >>> printable("clay\x00 with\ud800 sand")
    'clay\ufffd with\ufffd sand'
    >>> printable("\x1b[2J\x9b2J\u202edry")
    '\ufffd[2J\ufffd2J\ufffddry'
    """
    return text if text.isascii() and text.isprintable() else _UNFIT.sub("\ufffd", text)


def on_terminal(text: str) -> str:
    r"""Replace also what moves back to the beginning of a line, so that nothing printed can be written over.

    >>> on_terminal("danger\rfine  ")
    'danger\ufffdfine  '
    """
    return printable(text).replace("\r", "\ufffd")


def escaped_in_json(text: str) -> str:
    r"""Write the same signs in the text of a JSON file as escapes, by which nothing is lost.

    >>> escaped_in_json('"\u202eclay"')
    '"\\u202eclay"'
    """
    return text if text.isascii() else _UNFIT.sub(_escape, text)


def _escape(found: re.Match[str]) -> str:
    sign = found[0].encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{sign[start : start + 4]}" for start in range(0, len(sign), 4))
