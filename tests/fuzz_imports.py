"""Throw damaged and hostile files at every importer: python tests/fuzz_imports.py COUNT [SEED [BATCHES]]

Each input is one of a few small files of every format (site file, AGS4, AGS3, DIGGS, CSV, workbook) with bytes or words cut,
doubled, moved, swapped or put in; every other one keeps its form, and only values in it are replaced. An importer may read it or
refuse it with InputError, nothing else, and in less than ``MOST_SECONDS``. What it read must survive the way through a site file and
back. Prints how many inputs were read, refused and failed, by format, the slowest input and the peak of the memory; the first
failures are printed whole; exit code 1 where there is one. BATCHES of COUNT inputs, each of the next seed, add up.
"""

import io
import random
import re
import resource
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
ROUND_TRIP_EVERY = 50
"""Of the inputs that are read, one in so many is written as a site file and read back, which takes long."""
TESTS = Path(__file__).parent
WORDS = [
    "", " ", "nan", "-1", "1e400", "0", "9" * 30, "1,5", "#REF!", '"', '""', "'", ",", ";", "\t", "\n", "\r\n", "\x00", "\ufeff",
    "\u202e", "\ud7ff", "<CONT>", "<UNITS>", '"GROUP"', '"DATA"', '"**GEOL"', "&a;", "<!DOCTYPE a>", "]]>", "<!--",
    "{", "}", "[", "- ", ": ", "~",
    "!!python/object:x",    "*a", "&a", "None encountered", "50 (25 for 0mm/0 for 0mm)", "12'-6\"", "dry", "=1+1",
    "DRY to 6.0", "damp", "Nil", "Water depth = Dry.",
    "ft", "kPa", "m", "B-1", "MADE GROUND", "51 28 38.5N", "51.4773", "-0.0015", "181", "XW", "Grade III/IV", "MN/m2", "4.5/0.1",
    "B" * 3000,
]  # fmt: skip
DIGGS = """<?xml version="1.0"?>
<Diggs xmlns="http://diggsml.org/schemas/2.6" xmlns:gml="http://www.opengis.net/gml/3.2" xmlns:xlink="http://www.w3.org/1999/xlink">
<samplingFeature><Borehole gml:id="b"><gml:name>B-1</gml:name>
<referencePoint><PointLocation srsName="urn:ogc:def:crs:EPSG::4326" axisLabels="latitude longitude height" uomLabels="dega dega ft">
<gml:pos>39.474660 -81.1460 812.5</gml:pos></PointLocation></referencePoint>
<linearReferencing><LinearSpatialReferenceSystem gml:id="l"><lrm><LinearReferencingMethod><units>ft</units></LinearReferencingMethod></lrm>
</LinearSpatialReferenceSystem></linearReferencing><whenConstructed><TimeInterval><start>2026-03-09</start><end>2026-03-10T00:00:00</end></TimeInterval></whenConstructed>
<totalMeasuredDepth uom="ft">40</totalMeasuredDepth></Borehole></samplingFeature>
<observation><LithologySystem><samplingFeatureRef xlink:href="#b"/>
<lithologyObservation><LithologyObservation><location><gml:posList>0 12</gml:posList></location>
<primaryLithology><Lithology><lithDescription>Soft CLAY</lithDescription></Lithology></primaryLithology>
</LithologyObservation></lithologyObservation>
<lithologyObservation><LithologyObservation><location><gml:posList>12 40</gml:posList></location>
<primaryLithology><Lithology><lithDescription>SHALE</lithDescription><fieldProperties><FieldProperties>
<rockWeathering>highly weathered</rockWeathering></FieldProperties></fieldProperties></Lithology></primaryLithology>
</LithologyObservation></lithologyObservation></LithologySystem></observation>
<measurement><Test><samplingFeatureRef xlink:href="#b"/><outcome><TestResult>
<location><MultiPointLocation><gml:posList>2.0 2.5 3.0 3.5</gml:posList></MultiPointLocation></location><results><ResultSet>
<parameters><PropertyParameters><properties><Property index="1"><propertyClass>tip_resistance</propertyClass><uom>tonf[US]/ft2</uom>
<nullValue>9999</nullValue></Property><Property index="2"><propertyClass>sleeve_friction</propertyClass><uom>tonf[US]/ft2</uom></Property>
</properties></PropertyParameters></parameters><dataValues cs="," ts=" ">9.1,0.2 9.5,0.3 9999,0.3 8.7,0.2</dataValues></ResultSet></results>
</TestResult></outcome><procedure><StaticConePenetrationTest><netAreaRatioCorrection>0.8</netAreaRatioCorrection>
</StaticConePenetrationTest></procedure></Test></measurement>
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
    '"**WETH"\n"*HOLE_ID","*WETH_TOP","*WETH_BASE","*WETH_GRAD"\n"<UNITS>","m","m",""\n"B-1","6.00","9.00","IV"\n'
    '"**STCN"\n"*HOLE_ID","*STCN_DPTH","*STCN_RES","*STCN_FRES"\n"<UNITS>","m","MN/m2","kN/m2"\n"B-1","2.00","0.71","21"\n'
    '"B-1","2.02","0.75","22"\n"B-1","7.00","12.4","60"\n'
)
AGS4 = (
    '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_TYPE","LOCA_FDEP","LOCA_LAT","LOCA_LON","LOCA_LLZ"\n"UNIT","","","m","","",""\n'
    '"DATA","B-1","CP","15.00","51 28 38.5N","000 00 05.3W","WGS84"\n"DATA","B-2","CP+RC","20.00","51.47790","-0.00210","WGS84"\n\n'
    '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC","GEOL_LEG"\n"UNIT","","m","m","",""\n'
    '"DATA","B-1","0.00","6.00","Soft grey CLAY","201"\n"DATA","B-1","6.00","15.00","Weak SANDSTONE","802"\n'
    '"DATA","B-2","0.00","20.00","Medium dense SAND","401"\n\n'
    '"GROUP","WETH"\n"HEADING","LOCA_ID","WETH_TOP","WETH_BASE","WETH_SCH","WETH_SYS","WETH_WETH"\n"UNIT","","m","m","","",""\n'
    '"DATA","B-1","6.00","9.00","BS5930","","IV"\n"DATA","B-1","9.00","15.00","BS5930","","Slightly weathered"\n\n'
    '"GROUP","SCPG"\n"HEADING","LOCA_ID","SCPG_TESN","SCPG_CAR"\n"UNIT","","",""\n"DATA","B-1","1","0.80"\n\n'
    '"GROUP","SCPT"\n"HEADING","LOCA_ID","SCPG_TESN","SCPT_DPTH","SCPT_RES","SCPT_FRES","SCPT_PWP2"\n'
    '"UNIT","","","m","MPa","kPa","kPa"\n"DATA","B-1","1","2.00","0.72","21","40"\n"DATA","B-1","1","2.02","0.74","22","44"\n'
    '"DATA","B-2","1","2.02","7.4","40","12"\n'
)
CSV = (
    "boring,from (ft),to (ft),description,su (psf),weathering\n"
    "B-1,0,6,brown sand,,\nB-1,6,40,stiff clay,1500-2200,\nB-1,40,50,sandstone,,highly\n"
)
BORINGS = "id,depth (ft),lat,long\nB-1,40,39.47466,-81.1460\nB-2,41,39 28 28 N,81 08 46 W\n"
FOLDER = {"layers.csv": CSV.replace("B-1,40,50", "B-2,0,41"), "borings.csv": BORINGS, "shafts.csv": ""}
FOLDER["cone.csv"] = "boring,depth (m),qc (MPa),fs (kPa)\nB-1,2,0.7,20\n"
FOLDER["shafts.csv"] = "shaft,boring,diameter (in),tip (ft),latitude,longitude\nP1,,48,62,39.4747,-81.1461\n"
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


HOLE4 = '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","B-1","9.0"\n'
CLAY4 = '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""\n"DATA","B-1","0","9","Firm CLAY"\n'
GROUPS4 = (
    ("ISPT", "ISPT_TOP,ISPT_NVAL,ISPT_REP,ISPT_ERAT", "m,,,%", "3.0,12,50 (25 for 30mm/25 for 15mm),72"),
    ("WSTG", "WSTG_DPTH,WSTG_DTIM,WSTG_CAS,WSTG_REM", "m,yyyy-mm-dd,m,", "4.5,2026-04-02,3.0,Medium inflow rose to 2.1m"),
    ("WSTD", "WSTG_DPTH,WSTD_NMIN,WSTD_POST", "m,min,m", "4.5,20,2.1"),
    ("CORE", "CORE_TOP,CORE_BASE,CORE_PREC,CORE_SREC,CORE_RQD", "m,m,%,%,%", "6.0,7.5,93,60,NI"),
    ("WETH", "WETH_TOP,WETH_BASE,WETH_SCH,WETH_WETH", "m,m,,", "6.0,9.0,ISRM,III/IV"),
    ("SCPT", "SCPT_DPTH,SCPT_RES,SCPT_FRES,SCPT_PWP2", "m,MPa,kPa,kPa", "2.02,0.72,21,40"),
    ("SCPG", "SCPG_TESN,SCPG_CAR", ",", "1,0.8"),
    ("DETL", "DETL_TOP,DETL_BASE,DETL_DESC", "m,m,", "3.0,3.1,at 3.00m soft sandy clay"),
    ("PTIM", "PTIM_DTIM,PTIM_DPTH,PTIM_CAS,PTIM_WAT", "yyyy-mm-ddThh:mm,m,m,m", "2026-04-02T08:00,6.0,4.5,Dry"),
    ("HDPH", "HDPH_TOP,HDPH_BASE,HDPH_TYPE,HDPH_STAB", "m,m,,", "0,6,CP,Sides collapsing below 2.0m"),
    ("MONG", "MONG_ID,MONG_DIS,MONG_TRZ,MONG_BRZ", ",m,m,m", "1,8,6,8"),
    ("MOND", "MONG_ID,MONG_DIS,MOND_TYPE,MOND_RDNG,MOND_UNIT,MOND_DTIM", ",m,,,,", "1,8,WDEP,3.2,m,2026-05-01"),
    ("GRAT", "SAMP_TOP,SPEC_DPTH,GRAT_SIZE,GRAT_PERP", "m,m,mm,%", "2,2.1,0.063,31"),
    ("LLPL", "SAMP_TOP,SPEC_DPTH,LLPL_LL,LLPL_PL,LLPL_PI", "m,m,%,%,%", "2,2.1,45,21,"),
    ("TRIT", "SAMP_TOP,SPEC_DPTH,TRIT_CU,TRIT_DEVF", "m,m,kPa,kPa", "2,2.1,,130"),
    ("FLSH", "FLSH_TOP,FLSH_BASE,FLSH_TYPE,FLSH_RETN", "m,m,,%", "6,9,water,40"),
    ("CHIS", "CHIS_FROM,CHIS_TO,CHIS_TIME,CHIS_TOOL", "m,m,hh:mm,", "3.0,3.3,01:30,chisel"),
    ("LOCA", "LOCA_LAT,LOCA_LON,LOCA_GL,LOCA_REM", ",,m,", "51:28:38.5,-000:00:05.4,12.50,None encountered"),
)
"""Groups of AGS4 with a row each: their headings, units and values."""


def small_logs():
    """Return logs of one boring in AGS4 and AGS3, with one more group of one row each."""
    quoted = lambda *cells: ",".join(f'"{cell}"' for cell in cells)  # noqa: E731
    four, three = [HOLE4 + CLAY4], []
    for group, headings, units, values in GROUPS4:
        rows = [("HEADING", "LOCA_ID", *headings.split(",")), ("UNIT", "", *units.split(",")), ("DATA", "B-1", *values.split(","))]
        four.append(f'{HOLE4}{CLAY4}"GROUP","{group}"\n' + "\n".join(quoted(*row) for row in rows))
    hole = AGS3.partition('"**GEOL')[0]
    three += [f'{hole}"**{part}' for part in AGS3.split('"**')[2:]]
    return tuple(four), tuple(three)


def small_diggs():
    """Return DIGGS files of one boring with its layers, or with one test."""
    head, layers = DIGGS.partition("<observation>")[::2]
    *_, last = DIGGS.split("<measurement>")
    return f"{head}<observation>{layers.partition('<measurement>')[0]}</Diggs>", f"{head}<measurement>{last}"


SMALL_SITE = """methodpick: 1
site: {units: si, water_level: {low: 1}}
borings:
  - id: B-1
    depth: 9
    position: {latitude: 51.4773, longitude: "0 0 5W"}
    water: [{reading: settled, depth: 2, after: 24 h}]
    layers: [{top: 0, base: 5, description: firm clay, su: [40, 60], n: [3, 50/75mm]}, {top: 5, base: 9, symbol: rock, weathering: IV}]
    cone: [{depth: 2, resistance: 0.7 MPa, friction: 20 kPa}]
shafts: [{id: P1, diameter: 900, tip: 6, position: {east: 3, north: 4}}]
"""
SMALL_TABLE = "boring,top (m),base (m),description,weathering\nB-1,0,6,shale,IV\n"
LARGE_EVERY = 10
"""One of so many inputs is made of a larger file."""
VALUES = {
    "site file": re.compile(r"(?<=: )[^\n{}\[\],]+|(?<=[\[,] )[^\n{}\[\],:]+"),
    "AGS4": re.compile(r'(?<=")[^"\n]*(?=")'),
    "AGS3": re.compile(r'(?<=")[^"\n]*(?=")'),
    "DIGGS": re.compile(r'(?<=>)[^<>]+(?=</)|(?<=")[^"<>]+(?=")'),
    "one table": re.compile(r"[^,\n]+"),
    "folder": re.compile(r"[^,\n]+"),
}
"""What a value is in the text of a format."""
NUMBERS = ["0", "-3", "1e9", "0.001", "12.5", "89.9", "90.1", "180", "1,5", "6", "600"]


def misstated(text, pattern, rng):
    """Return a text of the same form in which a few values are others: words of the list, numbers, or values of other places."""
    found = list(pattern.finditer(text))
    if not found:
        return text
    for one in sorted(rng.sample(found, min(len(found), rng.choice((1, 1, 2, 4)))), key=lambda each: -each.start()):
        other = rng.choice((rng.choice(WORDS[:-1]), rng.choice(NUMBERS), rng.choice(found)[0]))
        if text.startswith("<?xml"):
            other = "".join(sign for sign in other.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;") if sign.isprintable())
        text = text[: one.start()] + other + text[one.end() :]
    return text


def written(files, folder):
    """Write texts into a folder, by their names, and return the folder."""
    folder.mkdir(exist_ok=True)
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8", errors="replace", newline="")
    return folder


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


def read_layers(text):
    """Read the text of one table under a name that says what it holds, or, one in four, under none."""
    return read_tables(text, "the table" if len(text) % 4 == 0 else "layers.csv")


def small_inputs():
    """Return by format its reader and the smallest files that are damaged."""
    four, three = small_logs()
    return {
        "site file": (read_site_file, (SMALL_SITE,)),
        "AGS4": (read_ags4, four),
        "AGS3": (read_ags3, three),
        "DIGGS": (read_diggs, (*small_diggs(), DIGGS)),
        "one table": (read_layers, (SMALL_TABLE,)),
    }


def inputs():
    """Return by format its reader and the larger files that are damaged."""
    return {
        "site file": (read_site_file, (SITE,)),
        "AGS4": (read_ags4, ((TESTS / "corpus" / "harrow-quay.ags").read_text(encoding="utf-8"), *[AGS4] * 9)),
        "AGS3": (read_ags3, (AGS3,)),
        "DIGGS": (read_diggs, (DIGGS,)),
        "one table": (read_layers, (CSV,)),
        "folder": (read_tables, tuple(FOLDER)),
    }


class Batch:
    """Counts what became of the inputs."""

    def __init__(self):
        self.counts, self.failures, self.slowest = Counter(), [], (0.0, "")

    def attack(self, count, seed, path):
        """Try a number of inputs of a seed."""
        rng = random.Random(seed)  # noqa: S311 - the same inputs again for the same seed
        book, large, small = workbook(), inputs(), small_inputs()
        for number in range(count):
            texts = large if number % LARGE_EVERY == 0 else small
            name = "workbook" if number % 200 == 0 else rng.choice(list(texts))
            if name == "workbook":
                path.write_bytes(damaged_book(book, rng))
                read, source = read_tables, path
            else:
                read, seeds = texts[name]
                seed_text = rng.choice(seeds)
                text = FOLDER.get(seed_text, seed_text)
                source = damaged(text, rng) if rng.random() < 0.5 else misstated(text, VALUES[name], rng)
                if name == "folder":
                    source = written({**FOLDER, seed_text: source}, path.parent / "folder")
            start = time.process_time()
            result = try_one(read, source, number % ROUND_TRIP_EVERY == 7)
            self.slowest = max(self.slowest, (time.process_time() - start, f"{name}, seed {seed}, input {number}"))
            self.counts[name, result if result in ("read", "refused") else "failed"] += 1
            if result not in ("read", "refused"):
                source = {file.name: file.read_text("utf-8") for file in source.iterdir()} if name == "folder" else source
                self.failures.append((name, result, source, f"seed {seed}, input {number}"))
                print(f"failed: {self.failures[-1][3]}, {name}", flush=True)


def main(count, seed, batches=1):
    batch, folder = Batch(), Path(mkdtemp())
    for index in range(batches):
        batch.attack(count, seed + index, folder / "book.xlsx")
        if batches > 1:
            tried = Counter(name for (name, _), number in batch.counts.items() for _ in range(number))
            kinds = ", ".join(f"{name} {number}" for name, number in sorted(tried.items()))
            print(f"{(index + 1) * count} inputs, seeds {seed} to {seed + index}: {len(batch.failures)} failed; {kinds}", flush=True)
    shutil.rmtree(folder)
    for name, result, source, which in batch.failures[:5]:
        print(f"--- {name}, {which}\n{result}\n{source!r:.3000}")
    for (name, result), number in sorted(batch.counts.items()):
        print(f"{name}: {result} {number}")
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"slowest {batch.slowest[0]:.2f} s ({batch.slowest[1]}); {time.process_time():.0f} s of the processor, peak {peak_mb:.0f} MB")
    print(f"{count * batches} inputs, seed {seed}: {len(batch.failures)} failed")
    return 1 if batch.failures else 0


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
