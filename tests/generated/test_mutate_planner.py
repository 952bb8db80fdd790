"""Mutants of the planner: which changes are drawn from a text, and that one is found again when its file moves."""

import ast
import builtins
import inspect
from dataclasses import replace

import mutate_planner
import pytest
from mutant_reach import PROBE, inner_places, with_probes
from mutate_planner import Mutant, drawn, found_again, mutants_in, read_table, renewed, written

CODE = """
LIMIT_M = 2.0


class Hole:
    def depth(self, top_m: float, base_m: float = 3.0) -> float:
        if not self.open and top_m < base_m:
            return round(max(top_m + 0.5 * base_m, 0.0), 3)
        return self.rows[2] - 1e-6 + (base_m - top_m)
"""


def changes(tmp_path, code=CODE):
    path = tmp_path / "hole.py"
    path.write_text(code, encoding="utf-8")
    return list(mutants_in(path, "methodpick/plan/hole.py"))


def test_bounds_minima_terms_constants_and_logic_are_changed_and_nothing_else(tmp_path):
    found = {(one.kind, one.source, one.becomes) for one in changes(tmp_path)}
    assert found == {
        ("and or or", "not self.open and top_m < base_m", "(not self.open or (top_m < base_m))"),
        ("not", "not self.open", "(self.open)"),
        ("bound", "top_m < base_m", "top_m <= base_m"),
        ("min or max", "max(top_m + 0.5 * base_m, 0.0)", "min(top_m + 0.5 * base_m, 0.0)"),
        ("term", "top_m + 0.5 * base_m", "top_m"),
        ("term", "top_m + 0.5 * base_m", "0.5 * base_m"),
        ("constant", "0.5", "0.55"),
        ("constant", "0.5", "(-0.5)"),
        ("term", "self.rows[2] - 1e-6 + (base_m - top_m)", "self.rows[2] - 1e-06"),
        ("term", "self.rows[2] - 1e-6 + (base_m - top_m)", "base_m - top_m"),
        ("term", "self.rows[2] - 1e-6", "self.rows[2]"),
        ("term", "base_m - top_m", "base_m"),
    }


@pytest.mark.ci_only("parses a sixtieth of the mutants of the package")
def test_every_mutant_of_the_package_is_a_program_of_its_own():
    for one in mutate_planner.all_mutants(mutate_planner.TOP)[::60]:
        data = (mutate_planner.TOP / one.file).read_bytes()
        changed = data[: one.span[0]] + one.becomes.encode() + data[one.span[1] :]
        assert ast.dump(ast.parse(changed)) != ast.dump(ast.parse(data)), one


def test_the_same_mutants_are_drawn_again_and_none_twice_in_one_place(tmp_path):
    found = changes(tmp_path)
    chosen = drawn(found, 1, 6)
    assert chosen == drawn(found, 1, 6)
    assert len({one.span for one in chosen}) == len(chosen) == 6


def test_a_mutant_is_read_from_the_table_and_found_where_its_function_went(tmp_path):
    first = drawn(changes(tmp_path), 1, 6)
    table = read_table(written(first, "Drawn."))
    assert [one.key for one in table] == [one.key for one in first]
    moved = [
        Mutant("methodpick/plan/room/hole.py", one.line + 40, one.function, one.kind, one.source, one.place, one.becomes)
        for one in changes(tmp_path)
    ]
    assert [found_again(one, moved).file for one in table] == ["methodpick/plan/room/hole.py"] * 6
    assert found_again(table[0], []) is None


def test_a_probe_goes_on_with_the_original_and_notes_where_the_mutant_differs(tmp_path, monkeypatch):
    text = b"def deeper(a, b):\n    return max(a + 1, b)\n"
    places = [(7, (29, 42), "min(a + 1, b)"), (8, (33, 38), "a")]
    assert text[29:42] == b"max(a + 1, b)"
    assert text[33:38] == b"a + 1"
    assert inner_places(places) == {8: 7}
    space = {}
    monkeypatch.setenv("METHODPICK_MUTANTS_SEEN", str(tmp_path / "seen"))
    monkeypatch.setattr(builtins, "mutant_probe", None, raising=False)
    monkeypatch.setattr(builtins, "mutant_active", None, raising=False)
    exec(compile(PROBE, "probe", "exec"), space)  # noqa: S102 (the text that is written into a scratch copy)
    exec(compile(with_probes(text, places[:1]), "probed", "exec"), space)  # noqa: S102 (the same)
    seen = inspect.getclosurevars(builtins.mutant_probe).nonlocals["seen"]
    assert space["deeper"](1, 2) == 2
    assert seen == set()
    assert space["deeper"](1, 5) == 5
    assert seen == {7}
    builtins.mutant_active[0] = 7
    assert space["deeper"](1, 5) == 2


def test_a_mutant_that_is_gone_is_replaced_by_another_of_its_kind(tmp_path):
    now = changes(tmp_path)
    first = drawn(now, 1, 3)
    lost = replace(first[1], function="gone", source="gone", becomes="nothing", result="survived")
    again = renewed([first[0], lost, first[2]], now)
    assert (again[0], again[2]) == (first[0], first[2])
    assert (again[1].kind, again[1].result, again[1] in now) == (lost.kind, "", True)
    assert again[1].source not in {first[0].source, first[2].source}
