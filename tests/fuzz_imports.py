"""Throw damaged and hostile files at every importer: python tests/fuzz_imports.py COUNT [SEED]

Each input is one of a few small files of every format (site file, AGS4, AGS3, DIGGS, CSV, workbook) with bytes or words cut,
doubled, moved, swapped or put in. An importer may read it or refuse it with InputError, nothing else, and in less than
``MOST_SECONDS``. What it read must survive the way through a site file and back. Prints how many inputs were read, refused
and failed, by format; the first failures are printed whole; exit code 1 where there is one.
"""

import io
import random
import shutil
import sys
import time
import traceback
import zipfile
from collections import Counter
from pathlib import Path
from tempfile import mkdtemp

from methodpick.errors import InputError
from methodpick.formats.site_yaml import whole_site_yaml
from methodpick.imports.ags3 import read_ags3
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.diggs import read_diggs
from methodpick.imports.site_file import read_site, read_site_file
from methodpick.imports.tables import read_tables

MOST_SECONDS = 2.0
ROUND_TRIP_EVERY = 20
"""Of the inputs that are read, one in so many is written as a site file and read back, which takes long."""
TESTS = Path(__file__).parent
WORDS = [
    "", " ", "nan", "-1", "1e400", "0", "9" * 30, "1,5", "#REF!", '"', '""', "'", ",", ";", "\t", "\n", "\r\n", "\x00", "\ufeff",
    "\u202e", "\ud7ff", "<CONT>", "<UNITS>", '"GROUP"', '"DATA"', '"**GEOL"', "&a;", "<!DOCTYPE a>", "]]>", "<!--",
    "{", "}", "[", "- ", ": ", "~",
    "!!python/object:x",    "*a", "&a", "None encountered", "50 (25 for 0mm/0 for 0mm)", "12'-6\"", "dry", "=1+1",
    "DRY to 6.0", "damp", "Nil", "Water depth = Dry.",
    "ft", "kPa", "m", "B-1", "MADE GROUND",
    "B" * 3000,
]  # fmt: skip
DIGGS = """<?xml version="1.0"?>
<Diggs xmlns="http://diggsml.org/schemas/2.6" xmlns:gml="http://www.opengis.net/gml/3.2" xmlns:xlink="http://www.w3.org/1999/xlink">
<samplingFeature><Borehole gml:id="b"><gml:name>B-1</gml:name>
<linearReferencing><LinearSpatialReferenceSystem gml:id="l"><lrm><LinearReferencingMethod><units>ft</units></LinearReferencingMethod></lrm>
</LinearSpatialReferenceSystem></linearReferencing><totalMeasuredDepth uom="ft">40</totalMeasuredDepth></Borehole></samplingFeature>
<observation><LithologySystem><samplingFeatureRef xlink:href="#b"/>
<lithologyObservation><LithologyObservation><location><gml:posList>0 12</gml:posList></location>
<primaryLithology><Lithology><lithDescription>Soft CLAY</lithDescription></Lithology></primaryLithology>
</LithologyObservation></lithologyObservation></LithologySystem></observation>
<measurement><Test><samplingFeatureRef xlink:href="#b"/>
<outcome><TestResult><location><gml:posList>5 6.5</gml:posList></location><results><ResultSet>
<parameters><PropertyParameters><properties><Property index="1"><propertyClass>n_value</propertyClass></Property></properties>
</PropertyParameters></parameters><dataValues cs="," ts=" ">17,24</dataValues></ResultSet></results></TestResult></outcome>
<procedure><DrivenPenetrationTest><driveSet><DriveSet><index>1</index><blowCount>9</blowCount><penetration uom="in">6</penetration>
</DriveSet></driveSet></DrivenPenetrationTest></procedure></Test></measurement></Diggs>
"""
AGS3 = (
    '"**HOLE"\n"*HOLE_ID","*HOLE_TYPE","*HOLE_FDEP",\n"*HOLE_REM"\n"<UNITS>","","m",""\n"B-1","CP","15.00","No groundwater encountered"\n\n'
    '"**GEOL"\n"*HOLE_ID","*GEOL_TOP","*GEOL_BASE","*GEOL_DESC","*GEOL_LEG"\n"<UNITS>","m","m","",""\n'
    '"B-1","0","6","Soft CL","201"\n"<CONT>","","","AY",""\n'
    '"**ISPT"\n"*HOLE_ID","*ISPT_TOP","*ISPT_NVAL","*ISPT_REP"\n"<UNITS>","m","",""\n"B-1","3","","50 (7,16/16,17,17 for 70mm)"\n'
    '"**WSTK"\n"*HOLE_ID","*WSTK_DEP","*WSTK_NMIN","*WSTK_POST"\n"<UNITS>","m","min","m"\n"B-1","4.5","20","3.1"\n'
    '"**PTIM"\n"*HOLE_ID","*PTIM_DATE","*PTIM_TIME","*PTIM_DEP","*PTIM_CAS","*PTIM_WAT"\n"<UNITS>","dd/mm/yyyy","hhmm","m","m","m"\n'
    '"B-1","02/03/2026","1700","4.00","2.00","Dry"\n"B-1","03/03/2026","0800","4.00","2.00","3.20"\n'
    '"**?MONP"\n"*HOLE_ID","*?MONP_DIS","*?MONP_TRZ","*?MONP_BRZ"\n"<UNITS>","m","m","m"\n"B-1","8.00","6.00","8.00"\n'
    '"**?MONR"\n"*HOLE_ID","*?MONP_DIS","*?MONR_DATE","*?MONR_WDEP","*?MONR_REM"\n"<UNITS>","m","dd/mm/yyyy","m",""\n'
    '"B-1","8.00","02/04/2026","","Dry"\n'
)
CSV = "boring,from (ft),to (ft),description,su (psf)\nB-1,0,6,brown sand,\nB-1,6,40,stiff clay,1500-2200\n"
SITE = (TESTS.parent / "profiles" / "caving-lens.yaml").read_text(encoding="utf-8")


def workbook():
    import openpyxl

    book = openpyxl.Workbook()
    book.active.title = "layers"
    for row in (["boring", "top (ft)", "base (ft)", "description"], ["B-1", 0, 6, "sand"], ["B-1", 6, 40, "clay"]):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def damaged(text, rng):
    """Return a text with a few damages."""
    for _ in range(rng.choice((1, 1, 2, 3, 8))):
        at, length = rng.randrange(len(text) + 1), rng.choice((0, 1, 3, 20, 200))
        piece = text[at : at + length]
        kind = rng.randrange(5)
        if kind == 0:
            text = text[:at] + text[at + length :]
        elif kind == 1:
            text = text[:at] + rng.choice(WORDS) + text[at + (length if length < 20 else 0) :]
        elif kind == 2:
            other = rng.randrange(len(text) + 1)
            text = text[:other] + piece + text[other:]
        elif kind == 3:
            text = text[:at] + "".join(rng.sample(piece, len(piece))) + text[at + length :]
        else:
            text = text[:at] + "".join(chr(rng.randrange(1, 0x250)) for _ in range(length % 21)) + text[at:]
        text = text[:200_000]
    return text


def damaged_book(content, rng):
    """Return a workbook with bytes of the archive or words of a part of it damaged."""
    if rng.random() < 0.5:
        data = bytearray(content)
        for _ in range(rng.choice((1, 3, 30))):
            data[rng.randrange(len(data))] = rng.randrange(256)
        return bytes(data)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w") as new:
        spoilt = rng.choice(old.namelist())
        for name in old.namelist():
            part = old.read(name)
            new.writestr(name, damaged(part.decode("utf-8", "replace"), rng).encode("utf-8", "replace") if name == spoilt else part)
    return out.getvalue()


def try_one(read, source, trip):
    """Return "read", "refused", or the words of a failure."""
    start = time.process_time()
    try:
        found = read(source)
        if trip:
            text = whole_site_yaml(found.site, "si")
            back = read_site(text)[0]
            if back.borings != found.site.borings or back.shafts != found.site.shafts:
                return "the way through a site file changes it\n" + text[:2000]
        result = "read"
    except InputError:
        result = "refused" if not trip or "found" not in locals() else "its own site file is refused\n" + traceback.format_exc()
    except Exception:  # noqa: BLE001 - whatever it is, it is a failure
        return traceback.format_exc()
    took = time.process_time() - start
    return result if took < MOST_SECONDS or trip else f"took {took:.1f} s"


def main(count, seed):
    rng = random.Random(seed)  # noqa: S311 - the same inputs again for the same seed
    book, path = workbook(), Path(mkdtemp()) / "book.xlsx"
    texts = {
        "site file": (read_site_file, SITE),
        "AGS4": (read_ags4, (TESTS / "corpus" / "harrow-quay.ags").read_text(encoding="utf-8")),
        "AGS3": (read_ags3, AGS3),
        "DIGGS": (read_diggs, DIGGS),
        "CSV": (read_tables, CSV),
    }
    counts, failures = Counter(), []
    for number in range(count):
        name = "workbook" if number % 50 == 0 else rng.choice(list(texts))
        if name == "workbook":
            path.write_bytes(damaged_book(book, rng))
            read, source = read_tables, path
        else:
            read, text = texts[name]
            source = damaged(text, rng)
        result = try_one(read, source, number % ROUND_TRIP_EVERY == 7)
        counts[name, result if result in ("read", "refused") else "failed"] += 1
        if result not in ("read", "refused"):
            failures.append((name, result, source))
    shutil.rmtree(path.parent)
    for name, result, source in failures[:5]:
        print(f"--- {name}\n{result}\n{source!r:.3000}")
    for (name, result), number in sorted(counts.items()):
        print(f"{name}: {result} {number}")
    print(f"{count} inputs, seed {seed}: {len(failures)} failed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1))
