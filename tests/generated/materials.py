"""Soils and rocks as logs name them, with the ranges of their tests: what the generated sites are made of.

All numbers are common practice, from memory: consistency, blow count and strength of clay and density of sand by the classes of
Terzaghi and Peck; unit weights, plasticity, grading and rock quality as handbooks give them for such ground. They need only be
plausible, since no test expects a number of them.
"""

from dataclasses import dataclass

Range = tuple[float, float]


@dataclass(frozen=True)
class Material:
    """A soil or rock. Blow counts over 300 mm, su in kPa, unit weight in kN/m3, shares in percent, d10 in mm, ucs in MPa."""

    words: tuple[str, ...]
    symbols: tuple[str, ...]
    n: Range
    weight: Range
    origins: tuple[str, ...] = ("unknown",)
    su: Range | None = None
    fines: Range | None = None
    pi: Range | None = None
    d10: Range | None = None
    rqd: Range | None = None
    ucs: Range | None = None
    features: tuple[str, ...] = ()
    perhaps: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    seams: tuple[str, ...] = ()
    pervious: bool = False
    rock: bool = False


def _clay(words: tuple[str, ...], n: Range, su: Range, weight: Range, *, high: bool = False, **more) -> Material:
    """A clay of low or high plasticity; firm and harder clays may be fissured or hold sand seams."""
    symbols = ("CH", "CL-CH") if high else ("CL", "CL-ML")
    plasticity = (30.0, 60.0) if high else (10.0, 25.0)
    settings = {"fines": (70.0, 98.0), "pi": plasticity, "absent": ("fissured",), "seams": ("sand", "silt"), **more}
    return Material(words, symbols[:1] * 3 + symbols[1:], n, weight, su=su, **settings)


def _grains(words: tuple[str, ...], symbols: tuple[str, ...], n: Range, weight: Range, fines: Range, d10: Range, **more) -> Material:
    """Sand or gravel: it carries water, and a full log says that it holds no cobbles."""
    settings = {"origins": ("alluvial", "unknown"), "absent": ("cobbles", "boulders", "cemented"), **more}
    return Material(words, symbols, n, weight, fines=fines, d10=d10, pervious=True, **settings)


def _rock(words: tuple[str, ...], weight: Range, rqd: Range, ucs: Range, **more) -> Material:
    """A rock that is cored."""
    return Material(words, ("rock",), (60.0, 100.0), weight, rqd=rqd, ucs=ucs, pervious=True, rock=True, **more)


LAKE = ("lacustrine", "alluvial", "unknown")
SEA = ("marine",)
RIVER = ("alluvial",)
ICE = ("till",)

MATERIALS: dict[str, Material] = {
    # ---- clays and silts
    "very_soft_clay": _clay(("very soft dark grey clay", "very soft grey silty clay, wet"), (0, 2), (5, 12), (14, 16.5), origins=LAKE),
    "soft_clay": _clay(
        ("soft grey clay", "soft grey fat clay", "soft silty clay with shells"),
        (2, 4),
        (12, 25),
        (15.5, 17.5),
        high=True,
        origins=LAKE,
        perhaps=("sensitive",),
    ),
    "firm_clay": _clay(
        ("firm grey clay", "medium stiff brown lean clay", "firm to stiff silty clay"), (4, 8), (25, 50), (17, 19), origins=LAKE
    ),
    "stiff_clay": _clay(
        ("stiff brown lean clay", "stiff grey fat clay", "stiff clay, moist"),
        (8, 15),
        (50, 100),
        (18, 20.5),
        high=True,
        origins=LAKE,
        perhaps=("fissured", "laminated"),
    ),
    "very_stiff_clay": _clay(
        ("very stiff grey clay", "very stiff brown sandy clay"),
        (15, 30),
        (100, 200),
        (19, 21.5),
        origins=LAKE,
        perhaps=("fissured", "slickensided"),
    ),
    "hard_clay": _clay(
        ("hard grey clay", "hard clay, damp"), (30, 60), (200, 400), (19.5, 22), high=True, origins=LAKE, perhaps=("fissured", "swelling")
    ),
    "marine_clay": _clay(
        ("very soft to soft grey marine clay with shells", "soft dark grey silty clay"),
        (0, 4),
        (6, 22),
        (14, 16.5),
        high=True,
        origins=SEA,
        perhaps=("sensitive", "organic"),
    ),
    "firm_silt": Material(
        ("firm grey silt", "medium stiff sandy silt"),
        ("ML",),
        (4, 8),
        (16.5, 18.5),
        RIVER,
        su=(25, 50),
        fines=(55, 90),
        pi=(0, 7),
        absent=("cemented",),
        pervious=True,
    ),
    "stiff_silt": Material(
        ("stiff brown sandy silt", "stiff red and tan sandy silt, residual"),
        ("ML", "MH"),
        (8, 20),
        (17, 19.5),
        ("residual",),
        su=(50, 110),
        fines=(55, 85),
        pi=(3, 15),
        absent=("cemented",),
        pervious=True,
    ),
    "loess": Material(
        ("stiff tan silt, loess", "loess, light brown silt"),
        ("ML",),
        (6, 15),
        (14.5, 17),
        ("loess",),
        fines=(80, 98),
        pi=(3, 9),
        pervious=True,
    ),
    # ---- organic ground and fill
    "organic_silt": Material(
        ("very soft dark grey organic silt", "soft organic clay with roots"),
        ("OL", "OH"),
        (0, 3),
        (13, 15.5),
        ("alluvial", "unknown"),
        su=(6, 18),
        features=("organic",),
    ),
    "peat": Material(
        ("brown fibrous peat", "peat, very soft"), ("PT",), (0, 3), (10.5, 12.5), ("unknown",), features=("organic",), perhaps=("gas",)
    ),
    "topsoil": Material(("topsoil and brown sandy clay", "topsoil"), ("CL", "ML"), (3, 8), (15, 18), ("unknown",)),
    "sandy_fill": Material(
        ("fill: brown silty sand, brick fragments", "made ground: sand and ash"),
        ("SM",),
        (3, 15),
        (16, 19),
        ("fill",),
        fines=(12, 40),
        perhaps=("obstructions",),
        pervious=True,
    ),
    "clay_fill": Material(
        ("fill: firm brown sandy clay, some rubble", "made ground: clay with brick"),
        ("CL",),
        (4, 12),
        (17, 19.5),
        ("fill",),
        su=(25, 80),
        perhaps=("obstructions",),
    ),
    "rubble_fill": Material(
        ("made ground: concrete, brick and timber in sand", "fill: rubble with voids"),
        ("GM", "GP"),
        (10, 50),
        (17, 20),
        ("fill",),
        features=("obstructions",),
        pervious=True,
    ),
    "waste": Material(
        ("landfill: household waste in black sandy soil",),
        ("SM",),
        (2, 20),
        (11, 15),
        ("fill",),
        features=("obstructions", "contaminated"),
        perhaps=("gas",),
        pervious=True,
    ),
    # ---- sands and gravels
    "loose_sand": _grains(
        ("loose brown fine sand", "loose grey fine to medium sand, wet"), ("SP", "SP-SM"), (4, 10), (15.5, 18.5), (1, 5), (0.08, 0.25)
    ),
    "medium_sand": _grains(
        ("medium dense brown fine to medium sand", "medium dense grey sand"), ("SP", "SW", "SP-SM"), (10, 30), (17, 20), (1, 5), (0.1, 0.35)
    ),
    "dense_sand": _grains(
        ("dense grey medium to coarse sand", "dense brown sand"), ("SP", "SW"), (30, 50), (18.5, 21), (1, 5), (0.15, 0.5)
    ),
    "loose_silty_sand": _grains(
        ("loose brown silty sand", "loose silty fine sand, moist"), ("SM",), (4, 10), (15.5, 18.5), (13, 45), (0.005, 0.05)
    ),
    "silty_sand": _grains(
        ("medium dense brown silty sand", "medium dense clayey sand"), ("SM", "SC"), (10, 30), (17, 20), (13, 45), (0.005, 0.06)
    ),
    "dense_silty_sand": _grains(
        ("dense brown silty sand", "very dense silty fine sand"), ("SM",), (30, 60), (18.5, 21.5), (13, 40), (0.005, 0.06)
    ),
    "cemented_sand": _grains(
        ("very dense cemented silty sand", "weakly cemented sand, caliche"),
        ("SM",),
        (50, 90),
        (19, 22),
        (12, 30),
        (0.02, 0.1),
        features=("cemented",),
        absent=("boulders",),
    ),
    "gravel": _grains(
        ("dense brown sandy gravel", "medium dense gravel with sand"),
        ("GP", "GW", "GW-GM"),
        (20, 50),
        (19, 22),
        (1, 5),
        (0.3, 2.0),
        absent=("cemented",),
        perhaps=("cobbles",),
    ),
    "openwork_gravel": _grains(
        ("clean open coarse gravel, little sand", "openwork gravel"),
        ("GP",),
        (20, 50),
        (18, 21),
        (0, 3),
        (3.0, 12.0),
        features=("open",),
        absent=(),
        perhaps=("cobbles",),
    ),
    "cobbly_gravel": _grains(
        ("dense sandy gravel with cobbles", "dense gravel with cobbles and occasional boulders"),
        ("GP", "GM"),
        (35, 80),
        (20, 22.5),
        (2, 12),
        (0.3, 2.0),
        features=("cobbles",),
        absent=(),
        perhaps=("boulders",),
    ),
    "cobbles": _grains(
        ("cobbles and boulders in sandy gravel", "boulders with cobbles, little matrix"),
        ("cobbles", "boulders"),
        (50, 100),
        (20, 23),
        (1, 5),
        (0.5, 5.0),
        features=("cobbles", "boulders"),
        absent=(),
    ),
    # ---- till
    "clay_till": _clay(
        ("stiff to very stiff grey sandy clay with gravel and cobbles, till", "very stiff gravelly clay, till"),
        (15, 40),
        (100, 250),
        (20.5, 22.5),
        origins=ICE,
        features=("cobbles",),
        absent=(),
        seams=("sand", "gravel"),
        perhaps=("boulders",),
    ),
    "sandy_till": _grains(
        ("very dense silty sand with gravel and cobbles, till", "dense clayey sand with gravel, till"),
        ("SM", "SC-SM"),
        (40, 90),
        (21, 23),
        (15, 40),
        (0.005, 0.05),
        origins=ICE,
        absent=(),
        features=("cobbles",),
        perhaps=("boulders",),
    ),
    "outwash": _grains(
        ("dense sand and gravel, outwash", "medium dense gravelly sand"),
        ("SW", "GP"),
        (20, 50),
        (18.5, 21.5),
        (1, 5),
        (0.2, 0.8),
        origins=("glaciofluvial",),
        absent=("cemented",),
        perhaps=("cobbles",),
    ),
    # ---- weathered rock and rock
    "saprolite": Material(
        ("dense tan silty sand, saprolite", "very dense micaceous silty sand, residual"),
        ("SM", "ML"),
        (25, 60),
        (18.5, 21),
        ("saprolite", "residual"),
        fines=(20, 60),
        pervious=True,
    ),
    "weathered_rock": Material(
        ("weathered rock, sampled as very dense silty sand", "partially weathered rock, very dense"),
        ("weathered_rock",),
        (60, 100),
        (20, 23.5),
        ("residual",),
        perhaps=("jointed",),
        pervious=True,
        rock=True,
    ),
    "soft_shale": Material(
        ("weathered grey shale, very weak", "very weak claystone, hard clay-like"),
        ("igm", "weathered_rock"),
        (50, 100),
        (20, 23),
        ("unknown",),
        su=(250, 900),
        perhaps=("slaking", "fissured"),
        rock=True,
    ),
    "shale": _rock(
        ("grey shale, weak to medium strong, laminated", "weak clayshale"), (22, 25), (30, 80), (3, 25), perhaps=("slaking", "laminated")
    ),
    "sandstone": _rock(
        ("grey sandstone, medium strong, slightly fractured", "weak brown sandstone"),
        (22.5, 26),
        (50, 95),
        (10, 60),
        perhaps=("jointed",),
        absent=("vuggy", "cavities", "slaking"),
    ),
    "granite": _rock(
        ("strong grey granite, slightly fractured", "gneiss, strong, fresh"),
        (25, 27.5),
        (60, 100),
        (60, 180),
        absent=("cavities",),
        perhaps=("jointed", "massive"),
    ),
    "limestone": _rock(
        ("grey limestone, medium strong, fractured", "limestone, strong, vuggy in places"),
        (23, 26.5),
        (40, 95),
        (20, 90),
        perhaps=("vuggy", "karst"),
    ),
    "broken_limestone": _rock(
        ("broken limestone with clay-filled joints and cavities", "vuggy limestone, rods dropped"),
        (21, 25),
        (0, 40),
        (10, 60),
        features=("vuggy", "cavities"),
    ),
    "chalk": _rock(("white chalk, weak", "weathered chalk with flints"), (17, 21), (10, 60), (1, 6), perhaps=("jointed",)),
    "cavity_clay": _clay(
        ("soft red clay, cavity filling", "very soft clay in a solution slot"), (0, 3), (8, 22), (16, 18), origins=("residual",), absent=()
    ),
    "void": Material(("void", "cavity, rods dropped"), ("void",), (0, 0), (9.8, 9.8), rock=True),
}
