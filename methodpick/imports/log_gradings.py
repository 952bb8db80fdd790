"""The share of fines and the plasticity index of a sample, where a log gives what they are made of: sieves, silt and clay, limits."""

from __future__ import annotations

from methodpick.imports.log_tables import DataRow, Tables

FINES_MM = (0.075, 0.063, 0.06)
"""Sieves below which the share is that of fines (ASTM D2487; ISO 14688-1, BS 5930), the coarsest first."""
_SAMPLE = ("SAMP_ID", "SAMP_TOP", "SAMP_REF", "SAMP_TYPE", "SPEC_REF", "SPEC_DPTH")
_NON_PLASTIC = frozenset({"NP", "N.P.", "NON-PLASTIC", "NON PLASTIC"})


def fines_of(rows: list[DataRow], size: str, passing: str) -> list[DataRow]:
    """Return the rows of a grading that give the share of fines, one a sample; the other sieves are counted as not used."""
    found: dict[tuple[str, ...], tuple[int, DataRow]] = {}
    for row in rows:
        mesh_mm = row.number(size, "mm")
        sieve = next((index for index, mesh in enumerate(FINES_MM) if mesh_mm is not None and abs(mesh_mm - mesh) < 0.0005), None)
        if sieve is None or not row.text(passing):
            row.pass_over("a sieve that is not that of fines" if row.text(passing) else "no share is given")
            continue
        sample = sample_of(row)
        if sample not in found or sieve < found[sample][0]:
            if sample in found:
                found[sample][1].pass_over("another sieve gives the fines of the sample")
            found[sample] = (sieve, row)
        else:
            row.pass_over("another sieve gives the fines of the sample")
    return [row for _, row in found.values()]


def sample_of(row: DataRow) -> tuple[str, ...]:
    """Return what names the sample of a row."""
    return (row.text("LOCA_ID") or row.text("HOLE_ID"), *(row.text(heading) for heading in _SAMPLE))


def complete_gradings(tables: Tables) -> None:
    """Fill the share of fines of gradings that lack it: silt and clay together, else what passed the sieve of fines."""
    passed = {sample_of(row): row for row in fines_of(list(tables.of("GRAT")), "GRAT_SIZE", "GRAT_PERP")}
    for row in tables.of("GRAG"):
        sieve = passed.pop(sample_of(row), None)
        silt, clay = (row.text("GRAG_SILT"), row.text("GRAG_CLAY"))
        if row.text("GRAG_FINE"):
            if sieve is not None:
                sieve.pass_over("the fines of the sample are stated")
        elif sieve is not None:
            row.values["GRAG_FINE"] = sieve.text("GRAT_PERP")
        elif silt and clay and (total := _sum(row)) is not None:
            row.values["GRAG_FINE"] = f"{total:g}"
    for row in passed.values():
        row.pass_over("the sieve belongs to no grading")


def _sum(row: DataRow) -> float | None:
    silt, clay = row.number("GRAG_SILT", "%"), row.number("GRAG_CLAY", "%")
    return None if silt is None or clay is None else silt + clay


def complete_plasticity(row: DataRow) -> None:
    """Fill the plasticity index where a log leaves it to the reader: liquid less plastic limit, zero where the soil is not plastic."""
    if row.text("LLPL_PI").upper() in _NON_PLASTIC or (not row.text("LLPL_PI") and row.text("LLPL_PL").upper() in _NON_PLASTIC):
        row.values["LLPL_PI"] = "0"
    if row.text("LLPL_PI") or not (row.is_number("LLPL_LL") and row.is_number("LLPL_PL")):
        return
    liquid, plastic = row.number("LLPL_LL", "%"), row.number("LLPL_PL", "%")
    if liquid is not None and plastic is not None and liquid >= plastic:
        row.values["LLPL_PI"] = f"{liquid - plastic:g}"
