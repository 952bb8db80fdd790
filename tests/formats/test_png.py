"""A picture as PNG, with a font that the test itself makes, so that the fonts of the machine do not matter."""

import struct

import pytest

from methodpick.errors import InputError
from methodpick.formats.report import picture_png

pytest.importorskip("resvg_py", reason="the extra 'png' is not installed")
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="60" height="20" font-family="Helvetica, Arial, sans-serif">'
    '<rect width="60" height="20" fill="#fff"/><text x="2" y="16" font-size="16">{}</text></svg>'
)


def box_font(family):
    """Make a TrueType font (tables after the OpenType specification) in which every letter of ASCII is a box."""
    glyphs, name = 95, family.encode("utf-16-be")
    box = struct.pack(">5hHH4B4h4h", 1, 100, 0, 500, 700, 3, 0, 1, 1, 1, 1, 100, 400, 0, -400, 0, 0, 700, 0)
    records = b"".join(struct.pack(">6H", 3, 1, 0x409, which, len(name), 0) for which in (1, 6))
    tables = {
        b"OS/2": struct.pack(">HhHHH", 4, 600, 400, 5, 0).ljust(96, b"\0"),
        b"cmap": struct.pack(">HHHHIHH6I", 0, 1, 3, 10, 12, 12, 0, 28, 0, 1, 33, 126, 1),
        b"glyf": box * (glyphs - 1),
        b"head": struct.pack(">4IHHQQ4hHH3h", 0x10000, 0x10000, 0, 0x5F0F3CF5, 0, 1000, 0, 0, 0, 0, 600, 700, 0, 8, 2, 1, 0),
        b"hhea": struct.pack(">IhhhH11hH", 0x10000, 800, -200, 0, 600, 0, 0, 600, 1, 0, 0, 0, 0, 0, 0, 0, glyphs),
        b"hmtx": struct.pack(">Hh", 600, 0) * glyphs,
        b"loca": struct.pack(f">{glyphs + 1}I", 0, *(len(box) * index for index in range(glyphs))),
        b"maxp": struct.pack(">I14H", 0x10000, glyphs, 4, 1, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0),
        b"name": struct.pack(">HHH", 0, 2, 30) + records + name,
        b"post": struct.pack(">I", 0x30000).ljust(32, b"\0"),
    }
    listed, body, start = struct.pack(">I4H", 0x10000, len(tables), 128, 3, len(tables) * 16 - 128), b"", 12 + 16 * len(tables)
    for tag, data in sorted(tables.items()):
        listed += tag + struct.pack(">III", 0, start + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    return listed + body


@pytest.mark.parametrize("family", ["DejaVu Sans", "Arial", "Lato"])
def test_a_picture_is_written_with_the_font_that_is_there(tmp_path, family):
    (tmp_path / "box.ttf").write_bytes(box_font(family))
    data = picture_png(SVG.format("sand"), tmp_path)
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    assert int.from_bytes(data[16:20], "big") == 120, "twice the 60 units of the picture"
    assert data != picture_png(SVG.format(""), tmp_path), "the words leave a trace"


@pytest.mark.parametrize("family", [None, "Nowhere Known"])
def test_without_a_known_font_no_picture_without_words_is_made(tmp_path, family):
    if family:
        (tmp_path / "box.ttf").write_bytes(box_font(family))
    with pytest.raises(InputError, match="no usable font was found") as found:
        picture_png(SVG.format("sand"), tmp_path)
    assert "fonts-dejavu-core" in found.value.render()
