"""What many tests share: the shipped rulebook, the example sites and their plans."""

from functools import cache
from pathlib import Path

import pytest
from effort import register_profiles

from methodpick.engine.load import load_rulebook
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder

HERE = Path(__file__).parent
register_profiles()


@cache
def _book():
    return load_rulebook(folder("rules"))


def _path(name):
    return next(path for path in (folder("profiles") / f"{name}.yaml", HERE / "sites" / f"{name}.yaml") if path.exists())


@cache
def _site(name):
    return read_site(_path(name))[0]


@cache
def _planned(name):
    return plan(_site(name), _book(), path=f"{name}.yaml", digest="0" * 64)


@pytest.fixture(scope="session")
def book():
    return _book()


@pytest.fixture(scope="session")
def site_path():
    return _path


@pytest.fixture(scope="session")
def site():
    return _site


@pytest.fixture(scope="session")
def planned():
    return _planned


@pytest.fixture(scope="session")
def read_text():
    """Read a site written in a test."""
    return lambda text: read_site(text, "test.yaml")[0]
