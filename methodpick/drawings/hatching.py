"""Hatches of soil and rock that read in black and white.

They are drawn here after common practice on boring logs (no single source): dots for sand, circles for gravel, dashes for
silt, slanting lines for clay, tufts for organic soil, bricks for limestone, dotted beds for sandstone.
"""

from __future__ import annotations

from methodpick.records import record


@record
class Hatch:
    """A tile that repeats: its size, a pale ground, the strokes as SVG path data, and what the legend says."""

    width: float
    height: float
    tint: str
    strokes: str
    words: str
    filled: str = ""


def _dot(x: float, y: float, radius: float = 0.75) -> str:
    return f"M{x - radius:g} {y:g}a{radius:g} {radius:g} 0 1 0 {2 * radius:g} 0a{radius:g} {radius:g} 0 1 0 {-2 * radius:g} 0Z"


def _oval(x: float, y: float, wide: float, high: float) -> str:
    return f"M{x - wide:g} {y:g}a{wide:g} {high:g} 0 1 0 {2 * wide:g} 0a{wide:g} {high:g} 0 1 0 {-2 * wide:g} 0Z"


def _plus(x: float, y: float, arm: float = 2.4) -> str:
    return f"M{x - arm:g} {y:g}h{2 * arm:g}M{x:g} {y - arm:g}v{2 * arm:g}"


def _tuft(x: float, y: float) -> str:
    return f"M{x - 3.5:g} {y:g}h7M{x:g} {y:g}v-4M{x - 1.5:g} {y:g}l-1.5 -3M{x + 1.5:g} {y:g}l1.5 -3"


_ASKED = "M4.4 4.2q0 -2.4 2.6 -2.4q2.6 0 2.6 2.2q0 1.6 -2.6 2.5v1.4"
"""A question mark over its dot, as high as a swatch of the key."""

HATCHES: dict[str, Hatch] = {
    "clay": Hatch(9, 9, "#f1ece3", "M0 9L9 0M-2 2L2 -2M7 11L11 7", "clay"),
    "fat-clay": Hatch(5, 5, "#ece5d8", "M0 5L5 0M-2 2L2 -2M3 7L7 3", "clay of high plasticity"),
    "silt": Hatch(13, 9, "#f3f1ea", "M1 2.2h6M7.5 6.7h6M-5.5 6.7h6", "silt"),
    "silty-sand": Hatch(15, 12, "#faf3da", "M1.5 9h5M9 3h5", "silty sand", _dot(3, 3) + _dot(6.5, 5.5) + _dot(11, 7.5) + _dot(9.5, 10.5)),
    "clean-sand": Hatch(
        11, 11, "#fdf6d9", "", "clean sand", _dot(2, 2) + _dot(7.5, 3.5) + _dot(4.5, 6.5) + _dot(9.5, 8.5) + _dot(1.8, 9.8)
    ),
    "silty-gravel": Hatch(20, 16, "#f7f0e2", _oval(5, 5, 3, 2.4) + _oval(14.5, 11, 3.2, 2.6) + "M11 4h6M2 12.5h6", "silty gravel"),
    "clean-gravel": Hatch(
        18,
        15,
        "#f9f2e4",
        _oval(4.5, 4, 3, 2.4) + _oval(12.5, 6, 2.2, 1.8) + _oval(6, 11.5, 2.3, 1.9) + _oval(14, 12, 2.8, 2.2),
        "clean gravel",
    ),
    "slab": Hatch(12, 12, "#e9e9e9", "M0 0L12 12M12 0L0 12M0 6H12", "slab, wall or pavement"),
    "cobbles": Hatch(
        30,
        24,
        "#f3ede3",
        _oval(8, 7, 6.5, 5) + _oval(22.5, 16, 6.5, 5.4) + _oval(21, 4.5, 3.6, 2.8) + _oval(7, 18.5, 3.4, 2.8),
        "cobbles, boulders",
    ),
    "organic": Hatch(18, 14, "#e9e6df", _tuft(5, 6) + _tuft(14, 13), "organic soil, peat"),
    "intermediate": Hatch(14, 14, "#ece9e4", "M0 14L14 0M0 3.5h5M8 10.5h6", "intermediate material"),
    "weathered-rock": Hatch(22, 16, "#eceae6", _plus(5, 4) + "M12 7l7 -5M2 14l5 -3.5" + _plus(16, 12), "weathered rock"),
    "rock": Hatch(14, 14, "#e6e6e6", "M0 0L14 14M0 14L14 0", "rock"),
    "crystalline-rock": Hatch(14, 12, "#e9e6e6", _plus(3.5, 3) + _plus(10.5, 9), "crystalline rock"),
    "limestone": Hatch(20, 14, "#e3e9ec", "M0 0.4h20M0 7.4h20M5 0v7M15 7v7", "limestone"),
    "sandstone": Hatch(16, 10, "#f3ecd6", "M0 0.4h16", "sandstone", _dot(3, 3.6) + _dot(10.5, 4.2) + _dot(6.8, 7.2) + _dot(14, 7.6)),
    "mudstone": Hatch(14, 6, "#e4e4e0", "M0 0.4h9M7 3.4h7M0 3.4h2", "mudstone, shale"),
    "void": Hatch(8, 8, "#ffffff", "M0 0L8 8M0 8L8 0", "void"),
    "unknown": Hatch(14, 12, "#ffffff", _ASKED, "not known", _dot(7, 9.9, 0.8)),
    "open-water": Hatch(18, 9, "#e6f0f7", "M0 4.5q4.5 -3.4 9 0t9 0", "open water"),
    "fluid": Hatch(12, 8, "#dcebf5", "M1 2h5M7 6h4.5", "support fluid"),
    "dry": Hatch(12, 12, "#ffffff", "M3 2v2.5M9 8v2.5", "stands dry"),
    "slurry": Hatch(10, 7, "#dcebf5", "M0 1.8h6M5 5.3h5", "support fluid"),
    "starter-casing": Hatch(7, 9, "#fdf3e4", "M3.5 0v4.5", "held by the starter casing"),
    "temporary-casing": Hatch(7, 7, "#fbe9d3", "M3.5 0v7", "held by temporary casing"),
    "permanent-casing": Hatch(7, 7, "#dedede", "M0 3.5h7M3.5 0v7", "held by permanent casing"),
    "undecided": Hatch(20, 12, "#ffffff", _ASKED + "M12.5 6h5", "undecided", _dot(7, 9.9, 0.8)),
    "band": Hatch(6, 6, "#e9f3e6", "M0 6L6 0M-1.5 1.5L1.5 -1.5M4.5 7.5L7.5 4.5", "density allowed"),
}
_ROCKS = {
    "limestone": ("limestone", "dolomite", "dolostone", "chalk", "marble", "coquina"),
    "sandstone": ("sandstone", "conglomerate", "greywacke", "quartzite"),
    "mudstone": ("mudstone", "shale", "claystone", "siltstone", "slate", "marl"),
    "crystalline-rock": ("granite", "gneiss", "basalt", "schist", "diorite", "andesite", "gabbro", "rhyolite"),
}


def hatch_of(soil_class: str, description: str = "", symbol: str = "") -> str:
    """Name the hatch of a layer; rock is hatched by its kind where the description names one, plastic clay by its symbol.

    >>> hatch_of("clay", symbol="CH"), hatch_of("rock", "grey limestone, strong"), hatch_of("clean_sand"), hatch_of("lava")
    ('fat-clay', 'limestone', 'clean-sand', 'unknown')
    """
    if soil_class == "rock":
        text = description.lower()
        found = [(text.find(word), name) for name, words in _ROCKS.items() for word in words if word in text]
        return min(found)[1] if found else "rock"
    if soil_class == "clay" and symbol.upper() == "CH":
        return "fat-clay"
    name = soil_class.replace("_", "-")
    return name if name in HATCHES else "unknown"


def pattern(name: str, identity: str) -> str:
    """Return the SVG definition of a hatch under an identity of its own."""
    hatch = HATCHES[name]
    strokes = f'<path d="{hatch.strokes}" fill="none" stroke="#333" stroke-width="0.7"/>' if hatch.strokes else ""
    dots = f'<path d="{hatch.filled}" fill="#333"/>' if hatch.filled else ""
    return (
        f'<pattern id="{identity}" width="{hatch.width:g}" height="{hatch.height:g}" patternUnits="userSpaceOnUse">'
        f'<rect width="{hatch.width:g}" height="{hatch.height:g}" fill="{hatch.tint}"/>{strokes}{dots}</pattern>'
    )
