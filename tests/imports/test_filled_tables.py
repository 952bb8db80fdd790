"""A site written as tables reads back as it is, but for what is named as left out."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.blank_form import FormSheet
from methodpick.formats.sheets import form_csv, form_workbook
from methodpick.formats.site_yaml import whole_site_yaml
from methodpick.imports.filled_tables import filled_tables
from methodpick.imports.site_file import read_site
from methodpick.imports.tables import read_tables
from methodpick.resources import folder
from methodpick.strict_yaml import read

SITES = sorted([*folder("profiles").glob("*.yaml"), *(Path(__file__).parents[1] / "sites").glob("*.yaml")])
HOSTILE = """methodpick: 1
site: {name: "=1+1", units: si}
borings:
  - id: "-7"
    depth: 20
    layers:
      - {top: 0, base: 12.5, description: "=HYPERLINK(1)", symbol: CL, su: [40, 60], unit_weight: {low: 18, likely: 19.5, high: 20}}
      - {top: 12.5, base: 20, description: "+ - , ; brown 'sand' \\"fine\\"", symbol: SP, absent: [boulders], d10: 0.1}
    spt: [{depth: 3, n: 50, penetration: 75}, {depth: 6, blows: [3, 4, 5]}]
    water: [{reading: piezometer, depth: -0.5, response_zone: [13, 15]}, {reading: none_met}]
shafts:
  - {id: "1", boring: "-7", diameter: 1200, tip: 18, bell: {diameter: 2400, height: 1.2}}
"""


def _back(site, folder_, units):
    """Write a site as a workbook and as CSV files; return what is left out, and both read back as a site file."""
    tables = filled_tables(read(whole_site_yaml(site, units)).value, units)
    book, files = folder_ / "site.xlsx", folder_ / "site"
    book.write_bytes(form_workbook(tables.sheets))
    files.mkdir()
    for sheet in tables.sheets:
        (files / f"{sheet.name}.csv").write_text(form_csv(sheet), encoding="utf-8")
    return tables.dropped, [whole_site_yaml(read_tables(path).site, units) for path in (book, files)]


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_a_site_reads_back_from_its_tables(path, tmp_path):
    site = read_site(path)[0]
    units = site.site.units
    dropped, back = _back(site, tmp_path, units)
    if path.stem == "stiff-clay":  # seams are a list inside a layer, which has no cell
        assert dropped == ("layers, seams: 1",)
    else:
        assert (dropped, back) == ((), [whole_site_yaml(site, units)] * 2)


def test_cells_that_look_like_formulas_read_back_as_words(tmp_path):
    site = read_site(HOSTILE, "hostile.yaml")[0]
    assert _back(site, tmp_path, "si") == ((), [whole_site_yaml(site, "si")] * 2)
    assert "\n'-7," in (tmp_path / "site" / "borings.csv").read_text(encoding="utf-8")


def test_the_other_units_give_the_same_site_within_rounding(tmp_path):
    site = read_site(folder("profiles") / "karst.yaml")[0]
    _, back = _back(site, tmp_path, "si")
    again = read_site(back[0], "back.yaml")[0]
    assert [layer.base_m for layer in again.borings[0].layers] == [layer.base_m for layer in site.borings[0].layers]


def test_what_no_cell_holds_is_named_and_counted():
    tree = {"site": {"units": "si"}, "assume": [{"key": 1}, {"key": 2}], "borings": [{"id": "B", "layers": [{"top": 0, "seams": [{}]}]}]}
    assert filled_tables(tree, "si").dropped == ("assume: 2", "layers, seams: 1")


@given(st.dictionaries(st.sampled_from(["description", "symbol", "su", "fines", "top", "base", "features"]), st.text() | st.integers()))
def test_nothing_of_an_entry_vanishes(entry):
    """Each key of a layer is in a cell, or is counted as left out."""
    tables = filled_tables({"borings": [{"id": "B", "layers": [entry]}]}, "si")
    layers = next((sheet for sheet in tables.sheets if sheet.name == "layers"), FormSheet("layers", "", (), ((),)))
    cells = sum(cell is not None for cell in layers.rows[0][1:])
    assert cells + sum(count for key, count in tables.left_out.items() if key.startswith("layers")) == len(entry)
