"""A rulebook that is kept is the one that was read, and whatever else stands in its place is as if nothing were kept."""

import hashlib
import json
import os
import shutil
import sys
from dataclasses import replace

import pytest

from methodpick.engine import kept_book, load
from methodpick.engine.rulebook import digest_of
from methodpick.resources import folder
from methodpick.vocabulary.catalogue import Catalogue


@pytest.fixture
def cache(tmp_path, monkeypatch):
    place = tmp_path / "cache"
    monkeypatch.setenv("METHODPICK_CACHE", str(place))
    return place


@pytest.fixture(scope="module")
def small(book):
    """A rulebook of a few rules, which is quickly written."""
    return replace(book, rules=book.rules[:3], limits={}, assumptions=book.assumptions[:2], tables={}, catalogue=Catalogue({}))


@pytest.fixture
def readings(small, monkeypatch):
    """Count how often the YAML is read; what that gives is the small rulebook."""
    counted = []
    monkeypatch.setattr(load, "load_rulebook", lambda *given: counted.append(given) or small)
    return counted


def kept_file(cache):
    (path,) = cache.iterdir()
    return path


@pytest.mark.usefixtures("cache")
def test_a_kept_book_is_the_book_that_was_read(book, monkeypatch):
    readings = []
    monkeypatch.setattr(load, "load_rulebook", lambda *given: readings.append(given) or book)
    kept_book.load_rulebook(folder("rules"))
    again = kept_book.load_rulebook(folder("rules"))
    assert len(readings) == 1
    assert again is not book
    assert again == book
    assert again.digest == book.digest
    assert digest_of(rules=again.rules, tables=again.tables, limits=again.limits) == digest_of(
        rules=book.rules, tables=book.tables, limits=book.limits
    )
    assert [rule.place for rule in again.rules] == [rule.place for rule in book.rules]
    assert list(again.limits) == list(book.limits)
    assert again.rules[0].cases == book.rules[0].cases


def test_values_of_other_types_are_not_taken_for_each_other():
    """1, 1.0 and true are equal in Python, and so are 0.0 and -0.0."""
    parts = kept_book._Parts()
    written = (1, 1.0, True, 0.0, -0.0, None, "1", float("inf"))
    parts.add(written)
    values = list(parts.plain)
    for maker, *indexes in json.loads(json.dumps(parts.compound())):
        values.append(kept_book._MAKERS[maker](*[values[index] for index in indexes]))
    assert repr(values[-1]) == repr(written)


def test_maps_are_never_shared():
    parts = kept_book._Parts()
    parts.add(({"a": 1.0}, {"a": 1.0}))
    assert [maker for maker, *_ in parts.compound()].count(kept_book._MAP) == 2


def test_what_is_no_value_of_a_rulebook_is_not_kept():
    with pytest.raises(TypeError, match=r"a \w*Path is not kept"):
        kept_book._Parts().add((folder("rules"),))


def test_a_changed_rule_file_an_overlay_and_another_folder_are_read_anew(cache, readings, tmp_path):
    rules = tmp_path / "rules"
    shutil.copytree(folder("rules"), rules)
    kept_book.load_rulebook(rules)
    (rules / "limits.yaml").write_text((rules / "limits.yaml").read_text() + "# changed\n")
    kept_book.load_rulebook(rules)
    kept_book.load_rulebook(rules, [rules / "agencies" / "txdot.yaml"])
    assert len(readings) == 3
    kept_book.load_rulebook(rules)
    assert len(readings) == 3
    assert len(list(cache.iterdir())) == 3


def changed_byte(content):
    at = len(content) // 2
    return content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]


def with_true_digest(head, body):
    return json.dumps({**head, "digest": hashlib.sha256(body).hexdigest()}).encode() + b"\n" + body


def other_body(body):
    return lambda content: with_true_digest(json.loads(content.split(b"\n")[0]), body)


@pytest.mark.parametrize(
    "change",
    [
        lambda _: b"",
        lambda content: content[:-1],
        changed_byte,
        lambda _: b"[" * 100_000,
        lambda content: b"\xff\xfe\n" + content,
        lambda content: content.replace(b'"of": "', b'"of": "0', 1),
        other_body(b"{}"),
        other_body(b'{"meaning": "", "plain": [1], "compound": []}'),
        other_body(b'{"meaning": "", "plain": ["x"], "compound": [[99, 0]]}'),
        other_body(b'{"meaning": "", "plain": ["x"], "compound": [[3, 0, 0, 0]]}'),
        other_body(b'{"meaning": "", "plain": ["os.system"], "compound": [["os.system", 0]]}'),
        other_body(b'{"meaning": "", "plain": [], "compound": [[0, 5]]}'),
    ],
    ids=["empty", "cut off", "a byte changed", "deep", "no text", "of another book", *map(str, range(6))],
)
def test_a_damaged_or_foreign_file_is_as_if_nothing_were_kept(cache, readings, small, change):
    kept_book.load_rulebook(folder("rules"))
    path = kept_file(cache)
    whole = path.read_bytes()
    path.write_bytes(change(whole))
    assert kept_book.load_rulebook(folder("rules")) is small
    assert len(readings) == 2
    assert path.read_bytes() == whole


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="the system has no owners of files")
@pytest.mark.parametrize("open_to_others", ["file", "folder"])
def test_what_others_can_write_is_not_read(cache, readings, open_to_others):
    kept_book.load_rulebook(folder("rules"))
    path = kept_file(cache)
    assert path.stat().st_mode & 0o777 == 0o600
    assert cache.stat().st_mode & 0o777 == 0o700
    (path if open_to_others == "file" else cache).chmod(0o777)
    kept_book.load_rulebook(folder("rules"))
    assert len(readings) == 2
    if open_to_others == "file":
        assert path.stat().st_mode & 0o777 == 0o600, "written anew"
    else:
        path.unlink()
        kept_book.load_rulebook(folder("rules"))
        assert list(cache.iterdir()) == [], "nothing is written where others can change it"


@pytest.mark.parametrize("word", ["off", "OFF", "no", "0", ""])
def test_nothing_is_kept_where_it_is_switched_off(monkeypatch, readings, tmp_path, word):
    monkeypatch.setenv("METHODPICK_CACHE", word)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    kept_book.load_rulebook(folder("rules"))
    kept_book.load_rulebook(folder("rules"))
    assert len(readings) == 2
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="the place of caches on other systems")
@pytest.mark.usefixtures("readings")
def test_the_users_own_cache_folder_is_taken(monkeypatch, tmp_path):
    """XDG Base Directory Specification 0.8: $XDG_CACHE_HOME, else $HOME/.cache."""
    monkeypatch.delenv("METHODPICK_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    kept_book.load_rulebook(folder("rules"))
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    kept_book.load_rulebook(folder("rules"))
    assert [path.parent for path in sorted(tmp_path.rglob("*.json"))] == [
        tmp_path / "caches" / "methodpick",
        tmp_path / "home" / ".cache" / "methodpick",
    ]


@pytest.mark.usefixtures("readings")
def test_a_folder_that_cannot_be_made_stops_nothing(monkeypatch, small, tmp_path):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("METHODPICK_CACHE", str(tmp_path / "file" / "cache"))
    assert kept_book.load_rulebook(folder("rules")) is small


@pytest.mark.usefixtures("readings")
def test_a_full_disk_leaves_nothing_half_written(cache, small, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(kept_book.Path, "replace", full)
    assert kept_book.load_rulebook(folder("rules")) is small
    assert list(cache.iterdir()) == []


@pytest.mark.usefixtures("readings")
def test_old_books_are_dropped(cache):
    cache.mkdir(mode=0o700)
    for number in range(20):
        path = cache / f"rulebook-{number:032}.json{'.77' if number % 2 else ''}"
        path.write_text("old")
        os.utime(path, (number, number))
    kept_book.load_rulebook(folder("rules"))
    left = sorted(path.name for path in cache.iterdir())
    assert len(left) == kept_book.MOST_KEPT
    assert f"rulebook-{18:032}.json" in left
