"""Draw descriptions of layers from real logs at random and print how each is read, for an engineer to judge.

``python tests/ground/descriptions/sample_descriptions.py FOLDER [--count 300] [--seed 1] [--longest 400]``. FOLDER holds logs of any
format that is read, in any depth of folders. Each text is drawn once, however many layers it names, with the legend code left aside.
"""

from __future__ import annotations

import argparse
import random
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from ground.descriptions.score_labels import reading_of

from methodpick.errors import MethodpickError
from methodpick.imports.input_formats import read_file

SUFFIXES = {".ags", ".xml", ".csv", ".xlsx", ".yaml"}


def descriptions_in(folder: Path) -> set[str]:
    """Return all texts that describe a layer in the logs of a folder; a file that is refused is left out."""
    found: set[str] = set()
    for path in sorted(path for path in folder.rglob("*") if path.suffix.lower() in SUFFIXES):
        try:
            profiles = read_file(path).profiles
        except MethodpickError:
            continue
        found |= {" ".join(layer.description.split()) for profile in profiles for layer in profile.layers if layer.description}
    return found


def main() -> None:
    """Print the drawn texts with their readings."""
    asked = argparse.ArgumentParser(description="Print how descriptions drawn from real logs are read.")
    asked.add_argument("folder", type=Path)
    asked.add_argument("--count", type=int, default=300)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--longest", type=int, default=400)
    options = asked.parse_args()
    found = sorted(descriptions_in(options.folder))
    chosen = random.Random(options.seed).sample(found, min(options.count, len(found)))  # noqa: S311 - a sample, no secret
    for number, text in enumerate(chosen, 1):
        read = reading_of(text)
        origin = "" if read.origin == "none" else f" / {read.origin}"
        print(f"{number}. [{read.main} / {read.grade} / {' '.join(sorted(read.flags))}{origin}] {text[: options.longest]}")


if __name__ == "__main__":
    main()
