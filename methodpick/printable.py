"""Foreign text made fit to be written: what no file of text or XML can hold becomes the replacement sign."""

from __future__ import annotations

import re

_UNFIT = re.compile("[^\t\n\r\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def printable(text: str) -> str:
    r"""Replace control signs and halves of signs, which neither XML nor UTF-8 holds.

    >>> printable("clay\x00 with\ud800 sand")
    'clay\ufffd with\ufffd sand'
    """
    return _UNFIT.sub("\ufffd", text)
