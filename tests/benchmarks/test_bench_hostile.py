"""How fast a rulebook that means harm is refused; less than a second each is wanted."""

import runpy
from pathlib import Path

import pytest

from methodpick.engine.load import load_rulebook
from methodpick.errors import MethodpickError
from methodpick.resources import folder

HOSTILE = runpy.run_path(str(Path(__file__).parents[1] / "engine" / "test_hostile.py"))
MANY = 30_000


@pytest.mark.parametrize("name", [*HOSTILE["CONDITIONS"], *HOSTILE["FILES"], *HOSTILE["MISSPELT"]])
def test_refused(benchmark, tmp_path, name):
    made = HOSTILE["misspelt"](MANY).get(name) or (
        HOSTILE["RULE"].format(when=HOSTILE["CONDITIONS"][name][0]) if name in HOSTILE["CONDITIONS"] else HOSTILE["FILES"][name][0]
    )
    path = tmp_path / "ours.yaml"
    path.write_text(made, encoding="utf-8")

    def load():
        try:
            load_rulebook(folder("rules"), [path])
        except MethodpickError as error:
            return error.problems
        return None

    assert benchmark.pedantic(load, rounds=3)
