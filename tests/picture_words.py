"""Where the words of a picture stand: their boxes, what they touch, and whether they stand on a hatch."""

from xml.etree import ElementTree as ET

from methodpick.drawings.canvas import width_of
from methodpick.patterns import pattern_of

SVG = "{http://www.w3.org/2000/svg}"
_MOVED = pattern_of(r"translate\(([-0-9.]+) ([-0-9.]+)\)")


def words(svg):
    return [one.text or "" for one in ET.fromstring(svg).iter(f"{SVG}text")]


def place_of(one):
    """Return the place of a mark, moved as it says."""
    moved = _MOVED.fullmatch(one.get("transform") or "translate(0 0)")
    return tuple(float(one.get(name)) + float(aside) for name, aside in zip(("x", "y"), moved.groups(), strict=True))


def boxes(tree):
    """Return the boxes of the words of a picture: left, top, right, base; letters are estimated a tenth narrower than they are set."""
    found = []
    for one in tree.iter(f"{SVG}text"):
        size, (x, y) = float(one.get("font-size")), place_of(one)
        wide = 0.9 * width_of(one.text or "", size)
        left = x - {"middle": wide / 2, "end": wide}.get(one.get("text-anchor"), 0.0)
        found.append((one.text, (left, y - 0.7 * size, left + wide, y)))
    return found


def overlap(first, second):
    return first[0] < second[2] and second[0] < first[2] and first[1] < second[3] and second[1] < first[3]


def collisions(svg):
    found = boxes(ET.fromstring(svg))
    return [(one, other) for at, (one, here) in enumerate(found) for other, there in found[at + 1 :] if overlap(here, there)]


def on_hatching(svg):
    """Return the words that stand on a hatch, those of the key beside their swatches too."""
    tree = ET.fromstring(svg)
    hatched = [
        (*place_of(one), place_of(one)[0] + float(one.get("width")), place_of(one)[1] + float(one.get("height")))
        for one in tree.iter(f"{SVG}rect")
        if (one.get("fill") or "").startswith("url(")
    ]
    return [words for words, box in boxes(tree) if any(overlap(box, area) for area in hatched)]


def struck(svg):
    """Return the words that a level line runs through: one drawn after them, or before them without a white ground between."""
    tree, found = ET.fromstring(svg), []
    parts = list(tree.iter())
    lettered = zip([index for index, one in enumerate(parts) if one.tag == f"{SVG}text"], boxes(tree), strict=True)
    for index, (text, box) in lettered:
        for at, line in enumerate(parts):
            if line.tag == f"{SVG}line" and line.get("y1") == line.get("y2") and _crosses(line, box):
                hidden = at < index and any(_covers(one, box) for one in parts[at + 1 : index])
                found += [] if hidden else [text]
    return found


def _crosses(line, box):
    first, last = sorted((float(line.get("x1")), float(line.get("x2"))))
    return box[1] + 1 < float(line.get("y1")) < box[3] - 1 and first < box[2] and box[0] < last


def _covers(one, box):
    """Return whether a white ground lies under all of some words."""
    if one.get("fill") != "#fff":
        return False
    if one.tag == f"{SVG}circle":
        x, y, radius = (float(one.get(name)) for name in ("cx", "cy", "r"))
        left, top, right, base = x - radius, y - radius, x + radius, y + radius
    elif one.tag == f"{SVG}rect":
        (left, top), wide, high = place_of(one), float(one.get("width")), float(one.get("height"))
        right, base = left + wide, top + high
    else:
        return False
    return left <= box[0] and box[2] <= right and top <= box[1] and box[3] <= base
