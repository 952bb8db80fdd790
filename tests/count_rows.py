"""Hold what the importers count against an independent count of the same files: python tests/count_rows.py FOLDER [FOLDER ...]

Another reader counts: the csv module over the raw groups of AGS, ElementTree over DIGGS, openpyxl over workbooks. A line is
printed for every file and group that differs, and the totals of all groups at the end; exit code 1 where anything differs.
"""

import csv
import io
import sys
import time
import xml.etree.ElementTree as ET
from collections import Counter
from pathlib import Path

from methodpick.errors import MethodpickError
from methodpick.imports.diggs import COUNTED
from methodpick.imports.input_formats import read_file


def text_of(path):
    content = path.read_bytes()
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


def rows_of_ags4(text):
    counts, group = Counter(), ""
    for record in csv.reader(io.StringIO(text, newline="")):
        if record and record[0] == "GROUP":
            group = record[1].strip()
            counts[group] += 0
        elif record and record[0] == "DATA":
            counts[group] += 1
    return counts


def rows_of_ags3(text):
    """Count the lines that are no group, heading, units or <CONT>; the rest of a units line that runs on is no row either."""
    counts, group, headings, units = Counter(), "", 0, 0
    for record in csv.reader(io.StringIO(text, newline="")):
        if not any(cell.strip() for cell in record):
            continue
        first = record[0].strip()
        if first.startswith("**"):
            group, headings, units = first.strip("*? "), 0, 0
            counts[group] += 0
        elif first.startswith("*"):
            headings += len([cell for cell in record if cell.strip()])
        elif first == "<UNITS>":
            units = len(record) - (record[-1] == "")
        elif first != "<CONT>" and not (0 < units < headings and len(record) <= headings - units + 1 and len(record) < headings):
            counts[group] += 1
            units = 0
    return counts


def rows_of_diggs(path):
    counts = Counter()
    for element in ET.parse(path).getroot().iter():
        name = element.tag.rpartition("}")[2]
        if name == "wellCasing":
            counts["Casing"] -= len(element)
        if name in COUNTED:
            counts[name] += 1
    return Counter({name: count for name, count in counts.items() if count})


def independent(path):
    if path.suffix.lower() in (".xml", ".diggs"):
        return rows_of_diggs(path)
    text = text_of(path)
    return rows_of_ags3(text) if text.lstrip().startswith('"**') else rows_of_ags4(text)


def compare(path, totals):
    """Return the differences of one file, and add its counts to the totals."""
    start = time.perf_counter()
    read = read_file(path)
    took = time.perf_counter() - start
    counted = {count.group: count for count in read.counts}
    expected = independent(path)
    different = []
    for group in sorted(set(counted) | set(expected)):
        rows = counted[group].rows if group in counted else 0
        if rows != expected[group]:
            different.append(f"{path.name}: {group}: {rows} rows read, {expected[group]} in the file")
        aside = sum(number for _, number in counted[group].set_aside) if group in counted else 0
        if group in counted and counted[group].used + aside != rows:
            different.append(f"{path.name}: {group}: {counted[group].used} used and {aside} set aside of {rows}")
        totals[group] += Counter(rows=rows, used=counted[group].used if group in counted else 0)
    totals["(files)"] += Counter(files=1, borings=len(read.profiles), layers=sum(len(one.layers) for one in read.profiles))
    totals["(files)"] += Counter(tests=sum(len(one.spt) for one in read.profiles), milliseconds=round(took * 1000))
    return different


def main(folders):
    class Totals(dict):
        def __missing__(self, key):
            self[key] = Counter()
            return self[key]

    totals, failed = Totals(), 0
    for path in sorted(path for folder in folders for path in Path(folder).rglob("*") if path.suffix.lower() in (".ags", ".xml")):
        try:
            different = compare(path, totals)
        except MethodpickError as error:
            different = [f"{path.name}: refused: {error.render().splitlines()[0]}"]
        failed += bool(different)
        print("\n".join(different), end="\n" if different else "")
    for group, counts in sorted(totals.items()):
        print(f"{group}: " + ", ".join(f"{name} {count}" for name, count in counts.items()))
    print(f"{failed} files differ")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
