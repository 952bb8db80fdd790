"""Remarks of AGS4 lifted as quoted sentences, tagged where it is clear what they are evidence of."""

from __future__ import annotations

import re

from methodpick.ground.descriptions.remarks import tag_of
from methodpick.ground.profile import Remark
from methodpick.imports.ags4_tables import DataRow, Tables

_NUMBERED = re.compile(r"(?:^|(?<=[.\s]))(?:\d{1,2}|[$])[.)]\s+|(?<=[.;])\s+(?=[A-Z])|\|")
NONE_MET = re.compile(
    r"\b(?:no|nil)\b (?:ground ?)?(?:water|strikes?)|"
    r"\bnone (?:was |were )?(?:encountered|met|observed|struck|recorded)\b|"
    r"^\s*(?:none|dry|nil)\.?\s*$|\b(?:hole|borehole|boring|pit) (?:was |remained )?dry\b|"
    r"\b(?:ground ?)?water (?:was )?not (?:encountered|met|struck|observed)\b",
    re.IGNORECASE,
)
_AT = re.compile(r"\b(?:at|from|below|@)\s*(\d{1,3}(?:\.\d{1,2})?)\s*m\b", re.IGNORECASE)

_LOST_RETURN = 50.0
"""Flush return in percent below which the ground is taken to drink (own value)."""


def sentences(text: str) -> list[str]:
    """Cut a remark into its sentences, numbered or not.

    >>> sentences("1. Pit dug to 1.2m. 2. Groundwater met at 5.5 and 14.0m.")
    ['Pit dug to 1.2m', 'Groundwater met at 5.5 and 14.0m']
    """
    return [part for piece in _NUMBERED.split(text) if (part := piece.strip(" .;"))]


def depth_in(text: str) -> float | None:
    """Return the depth in metres that a sentence names, None where it names none or several."""
    found = _AT.findall(text)
    return float(found[0]) if len(found) == 1 else None


def remarks_of(tables: Tables, boring: str) -> list[Remark]:
    """Return the remarks of a boring from all groups that carry them."""
    found: list[Remark] = []
    for row in tables.of("LOCA", boring):
        for heading in ("LOCA_REM", "LOCA_TERM"):
            found += _sentences_of(row.text(heading), None)
    for group, depth, headings in (
        ("HDPH", "HDPH_TOP", ("HDPH_STAB", "HDPH_REM")),
        ("DREM", "DREM_TOP", ("DREM_REM",)),
        ("GEOL", "GEOL_TOP", ("GEOL_REM",)),
        ("CORE", "CORE_TOP", ("CORE_REM",)),
        ("ISPT", "ISPT_TOP", ("ISPT_REM",)),
        ("CDIA", "CDIA_DPTH", ("CDIA_REM",)),
        ("HDIA", "HDIA_DPTH", ("HDIA_REM",)),
        ("PTIM", "PTIM_DPTH", ("PTIM_REM",)),
    ):
        for row in tables.of(group, boring):
            texts = [row.text(heading) for heading in headings if row.text(heading)]
            if texts:
                at = row.number(depth)
                found += [remark for text in texts for remark in _sentences_of(text, at)]
    for row in tables.of("ISPT", boring):
        if "add" in row.text("ISPT_WAT").lower():
            found.append(Remark(depth_m=row.number("ISPT_TOP"), text="water added (penetration test)", tag="water_added"))
    return found + _chiselling(tables, boring) + _flush(tables, boring)


def _sentences_of(text: str, depth: float | None) -> list[Remark]:
    found = []
    for sentence in sentences(text):
        at = depth_in(sentence)
        found.append(Remark(depth_m=depth if at is None else at, text=sentence, tag=tag_of(sentence)))
    return found


def _span_text(row: DataRow, top: str, base: str) -> tuple[float | None, str]:
    start, end = row.number(top), row.number(base)
    depths = " to ".join(f"{depth:.2f}" for depth in (start, end) if depth is not None)
    return start, f"{depths} m" if depths else "at a depth not recorded"


def _chiselling(tables: Tables, boring: str) -> list[Remark]:
    found = []
    for row in tables.of("CHIS", boring):
        start, span = _span_text(row, "CHIS_FROM", "CHIS_TO")
        more = [
            part
            for part in (row.text("CHIS_TIME") and f"{row.text('CHIS_TIME')} hh:mm", row.text("CHIS_TOOL"), row.text("CHIS_REM"))
            if part
        ]
        found.append(Remark(depth_m=start, text=", ".join([f"chiselling {span}", *more]), tag="obstruction"))
    return found


def _flush(tables: Tables, boring: str) -> list[Remark]:
    found = []
    for row in tables.of("FLSH", boring):
        start, span = _span_text(row, "FLSH_TOP", "FLSH_BASE")
        low, high = (row.number(heading, "%") for heading in ("FLSH_RETN", "FLSH_RETX"))
        back = " to ".join(f"{share:.0f}" for share in (low, high) if share is not None)
        words = [
            f"flush {span}",
            f"return {back} %" if back else "return not recorded",
            row.text("FLSH_TYPE").lower(),
            row.text("FLSH_REM"),
        ]
        lost = low is not None and low < _LOST_RETURN
        found.append(Remark(depth_m=start, text=", ".join(word for word in words if word), tag="fluid_loss" if lost else None))
    return found
