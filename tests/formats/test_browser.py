"""The report in a real browser: drawn, not blank, hatched, and within the paper. Skipped where no Chromium is installed."""

import re
import shutil
import struct
import subprocess
import zlib
from itertools import pairwise

import pytest

from methodpick.document.report import owner_report, site_report
from methodpick.formats.report import document_html, document_pdf

BROWSER = next((found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None)
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--force-device-scale-factor=1",
]
pytestmark = [
    pytest.mark.ci_only("starts a browser"),
    pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed on this machine"),
]


def browse(folder, *words):
    return subprocess.run(
        [BROWSER, *FLAGS, f"--user-data-dir={folder / 'profile'}", *words], capture_output=True, text=True, timeout=120, check=False
    )


def pixels(path):
    """Read a PNG of 8 bits a channel into rows of (red, green, blue), by the PNG specification (filters 0 to 4)."""
    data = path.read_bytes()
    wide, high, depth, colour = struct.unpack(">IIBB", data[16:26])
    assert depth == 8
    size = {2: 3, 6: 4}[colour]
    packed, place = b"", 8
    while place < len(data):
        length, kind = struct.unpack(">I4s", data[place : place + 8])
        packed += data[place + 8 : place + 8 + length] if kind == b"IDAT" else b""
        place += 12 + length
    raw, rows, last = zlib.decompress(packed), [], bytearray(wide * size)
    for row in range(high):
        start = row * (wide * size + 1)
        line, how = bytearray(raw[start + 1 : start + 1 + wide * size]), raw[start]
        for index in range(wide * size):
            left = line[index - size] if index >= size else 0
            up, corner = last[index], last[index - size] if index >= size else 0
            guess = left + up - corner
            near = min((left, up, corner), key=lambda one, aim=guess: abs(one - aim))
            line[index] = (line[index] + (0, left, up, (left + up) // 2, near)[how]) & 255
        rows.append([tuple(line[at : at + 3]) for at in range(0, wide * size, size)])
        last = line
    return rows


def dark_runs(rows, box):
    """Count the changes from paper to ink along rows and along columns of a box: what a hatch looks like in numbers."""
    left, top, right, base = box
    ink = [[sum(rows[y][x]) < 330 for x in range(left, right)] for y in range(top, base)]
    across = sum(one and not other for line in ink for one, other in pairwise(line))
    down = sum(one and not other for line in zip(*ink, strict=True) for one, other in pairwise(line))
    return across, down


def test_hatches_are_drawn_and_differ(tmp_path, planned):
    """The strip alone at its own size: clay, sand and fat clay are inked, and no two of them alike."""
    from xml.etree import ElementTree as ET

    from methodpick.drawings.strip_log import draw_strip

    svg = draw_strip(planned("caving-lens").shafts[0], "us")
    page = tmp_path / "strip.html"
    page.write_text(f'<!DOCTYPE html><meta charset="utf-8"><body style="margin:0">{svg}', encoding="utf-8")
    done = browse(tmp_path, f"--screenshot={tmp_path / 'strip.png'}", "--window-size=720,760", page.as_uri())
    assert (tmp_path / "strip.png").exists(), done.stderr[-500:]
    rows = pixels(tmp_path / "strip.png")
    boxes = [one for one in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}rect") if one.get("width") == "34"]
    assert len(boxes) == 3
    seen = []
    for one in boxes:
        x, y = int(float(one.get("x"))), int(float(one.get("y")))
        across, down = dark_runs(rows, (x + 2, y + 3, x + 32, y + 39))
        assert across + down > 30, "a hatch leaves ink"
        seen.append((across, down))
    assert len(set(seen)) == 3
    assert all(abs(a[0] - b[0]) + abs(a[1] - b[1]) > 12 for a, b in pairwise(seen))


def test_the_report_prints(tmp_path, planned):
    """Chromium prints a PDF: each shaft starts a sheet of its own, so there are at least as many sheets as pages of the report."""
    pytest.importorskip("jinja2")
    page = tmp_path / "report.html"
    page.write_text(document_html(site_report(planned("river-crossing")), "us"), encoding="utf-8")
    done = browse(tmp_path, f"--print-to-pdf={tmp_path / 'report.pdf'}", "--no-pdf-header-footer", page.as_uri())
    assert (tmp_path / "report.pdf").exists(), done.stderr[-500:]
    data = (tmp_path / "report.pdf").read_bytes()
    assert data.startswith(b"%PDF-")
    assert 3 <= data.count(b"/Type /Page\n") + data.count(b"/Type /Page ") + data.count(b"/Type/Page/") <= 40


def test_words_of_a_picture_stay_in_it_and_off_each_other(tmp_path, planned):
    """Ask the browser for the box of every text, as wide as its font sets it: none leaves its picture, and none lies on another."""
    pytest.importorskip("jinja2")
    script = (
        "<script>let bad=[];for(const s of document.querySelectorAll('figure svg')){const b=s.getBoundingClientRect();const all=[];"
        "for(const t of s.querySelectorAll('text')){const r=t.getBoundingClientRect();"
        "if(r.right>b.right+2||r.left<b.left-2||r.bottom>b.bottom+2||r.top<b.top-2)bad.push(t.textContent);"
        "const h=r.height*.25;for(const [o,w] of all){if(r.left<o.right-.5&&o.left<r.right-.5&&r.top+h<o.bottom-h&&o.top+h<r.bottom-h)"
        "bad.push(w+' on '+t.textContent)}all.push([r,t.textContent])}}"
        "document.title=document.querySelectorAll('figure svg text').length+'|'+bad.join('|')</script>"
    )
    for name in ("karst", "river-crossing", "artesian-sand", "saturated-sand", "twenty-layers", "viaduct"):
        for units in ("us", "si"):
            text = document_html(site_report(planned(name)), units).replace("style-src", "script-src 'unsafe-inline'; style-src")
            page = tmp_path / f"{name}.html"
            page.write_text(text.replace("</body>", script + "</body>"), encoding="utf-8")
            done = browse(tmp_path, "--dump-dom", page.as_uri())
            count, _, bad = done.stdout.split("<title>")[1].split("</title>")[0].partition("|")
            assert int(count) > 100
            assert bad == "", (name, units, bad)


def test_words_of_tables_are_not_broken_and_no_table_leaves_the_paper(tmp_path, planned):
    """At the width of letter paper between the margins (186 mm, 703 units): a cell of one word is one line high, no table is wider."""
    pytest.importorskip("jinja2")
    script = (
        "<script>let bad=[],n=0;const w=document.body.getBoundingClientRect().right;"
        "for(const t of document.querySelectorAll('table')){"
        "if(t.getBoundingClientRect().right>w+1)bad.push('wide '+t.textContent.slice(0,40))}"
        "for(const c of document.querySelectorAll('td.word')){n++;const r=document.createRange();r.selectNodeContents(c);"
        "if(r.getClientRects().length>1)bad.push(c.textContent)}document.title=n+'|'+bad.join('|')</script>"
    )
    for name, units in (("viaduct", "us"), ("caving-lens", "us"), ("artesian-sand", "si")):
        text = document_html(site_report(planned(name)), units).replace("style-src", "script-src 'unsafe-inline'; style-src")
        page = tmp_path / f"{name}.html"
        page.write_text(text.replace("</body>", script + "</body>"), encoding="utf-8")
        done = browse(tmp_path, "--window-size=720,1000", "--dump-dom", page.as_uri())
        count, _, bad = done.stdout.split("<title>")[1].split("</title>")[0].partition("|")
        assert int(count) > 10
        assert bad == "", (name, bad)


CONTRAST = """
function light(c){const v=c.match(/[\\d.]+/g).map(Number).slice(0,3).map(x=>{x/=255;return x<=.03928?x/12.92:((x+.055)/1.055)**2.4});
return .2126*v[0]+.7152*v[1]+.0722*v[2]}
function ground(e){for(;e;e=e.parentElement){const b=getComputedStyle(e).backgroundColor;if(!/, 0\\)$/.test(b)&&b!=='transparent')return b}
return 'rgb(255,255,255)'}
let least=99,who='';
for(const e of document.querySelectorAll('h1,h2,h3,p,li,td,th,a,figcaption,footer,summary')){
const a=light(getComputedStyle(e).color),b=light(ground(e)),r=(Math.max(a,b)+.05)/(Math.min(a,b)+.05);if(r<least){least=r;who=e.tagName}}
const dark=matchMedia('(prefers-color-scheme: dark)').matches;
document.title=[least.toFixed(2),who,dark].join('|');
"""
"""Contrast by the formula of the web content accessibility guidelines (relative luminance)."""


@pytest.mark.parametrize("scheme", [0, 1])
def test_words_stand_out_in_light_and_in_dark(tmp_path, planned, scheme):
    """4.5 is what the guidelines ask of small text (level AA)."""
    pytest.importorskip("jinja2")
    text = document_html(site_report(planned("karst")), "us").replace("style-src", "script-src 'unsafe-inline'; style-src")
    page = tmp_path / "report.html"
    page.write_text(text.replace("</body>", f"<script>{CONTRAST}</script></body>"), encoding="utf-8")
    done = browse(tmp_path, f"--blink-settings=preferredColorScheme={scheme}", "--dump-dom", page.as_uri())
    least, who, dark = done.stdout.split("<title>")[1].split("</title>")[0].split("|")
    assert float(least) >= 4.5, who
    assert dark == ("true" if scheme == 0 else "false")


def test_a_phone_shows_the_report_without_overflow_and_pictures_have_words(tmp_path, planned):
    """360 units wide: nothing pushes the page aside, since tables and pictures scroll by themselves; every picture has its title."""
    pytest.importorskip("jinja2")
    script = (
        "<script>onload=()=>{const d=document.querySelector('iframe').contentDocument;"
        "const dumb=[...d.querySelectorAll('figure svg')].filter(s=>s.getAttribute('role')!=='img'||!s.querySelector('title').textContent);"
        "const dead=[...d.querySelectorAll('nav a')].filter(a=>!d.querySelector(a.getAttribute('href')));"
        "const cut=[...d.querySelectorAll('table.few')].filter(t=>t.rows[0].cells.length<5&&t.getBoundingClientRect().width>"
        "t.parentElement.clientWidth+1);const n=d.querySelectorAll('figure svg').length;"
        "document.title=[d.documentElement.scrollWidth,n,dumb.length,dead.length,cut.map(t=>t.textContent.slice(0,60))].join('|')}"
        "</script>"
    )
    for name in ("viaduct", "karst"):
        inside = document_html(site_report(planned(name)), "us").replace("&", "&amp;").replace('"', "&quot;")
        page = tmp_path / f"{name}.html"
        page.write_text(
            f'<!DOCTYPE html><meta charset="utf-8"><title></title><iframe width="360" height="800" style="border:0" srcdoc="{inside}">'
            f"</iframe>{script}",
            encoding="utf-8",
        )
        done = browse(tmp_path, "--dump-dom", page.as_uri())
        told = done.stdout.split("<title>")[1].split("</title>")[0].split("|")
        wide, pictures, dumb, dead = map(int, told[:4])
        assert wide <= 360, name
        assert pictures > 3
        assert (dumb, dead) == (0, 0)
        assert told[4:] == [""], "tables of few columns fold"


def test_an_owners_report_prints_nearly_as_short_as_the_pdf(tmp_path, takeoff):
    """The browser has other fonts than the PDF, so two sheets more are borne."""
    pytest.importorskip("jinja2")
    pytest.importorskip("typst")
    for name in ("karst", "viaduct"):
        made = takeoff(name)
        report = owner_report(made.site.plan, (), made)
        page = tmp_path / "report.html"
        page.write_text(document_html(report, "us"), encoding="utf-8")
        browse(tmp_path, f"--print-to-pdf={tmp_path / 'report.pdf'}", "--no-pdf-header-footer", page.as_uri())
        printed, set_ = (
            len(re.findall(rb"/Type\s*/Page[^s]", data)) for data in ((tmp_path / "report.pdf").read_bytes(), document_pdf(report, "us"))
        )
        assert printed <= set_ + 2, name
