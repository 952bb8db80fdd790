"""A wheel and a source archive are built; the wheel, installed in an empty folder, plans an example there."""

import shutil
import subprocess
import sys
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
pytestmark = pytest.mark.ci_only("builds and installs the wheel")


def pip(python, *words, cwd):
    return subprocess.run(
        [python, "-m", "pip", "--disable-pip-version-check", *map(str, words)],
        capture_output=True,
        text=True,
        cwd=cwd,
        check=False,
        timeout=400,
    )


@pytest.mark.skipif(not (TOP / "pyproject.toml").exists(), reason="no checkout to build from")
def test_the_wheel_works_alone(tmp_path):
    source = Path(shutil.copytree(TOP, tmp_path / "source", ignore=shutil.ignore_patterns(".git", ".venv", ".*_cache", "__pycache__")))
    built = pip(sys.executable, "wheel", "--no-deps", "-w", tmp_path, source, cwd=tmp_path)
    if built.returncode:
        pytest.skip(f"the build backend could not be installed here: {built.stderr[-200:]}")
    wheel = next(tmp_path.glob("methodpick-*.whl"))
    names = zipfile.ZipFile(wheel).namelist()
    assert "methodpick/_data/rules/limits.yaml" in names
    assert "methodpick/_data/profiles/caving-lens.yaml" in names
    assert {"methodpick/formats/templates/report.html", "methodpick/formats/templates/report.typ"} <= set(names)
    assert not any(name.startswith("tests/") for name in names)
    home = tmp_path / "home"
    venv.create(home, with_pip=True)
    python = home / "bin" / "python"
    installed = pip(python, "install", "--quiet", wheel, cwd=tmp_path)
    assert installed.returncode == 0, installed.stderr
    empty = tmp_path / "empty"
    empty.mkdir()
    shutil.copy(source / "profiles" / "stiff-clay.yaml", empty)
    done = subprocess.run([home / "bin" / "methodpick", "plan", "stiff-clay.yaml"], cwd=empty, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "Drill dry" in done.stdout


@pytest.mark.skipif(not (TOP / "pyproject.toml").exists(), reason="no checkout to build from")
def test_the_source_archive_holds_what_a_builder_needs(tmp_path):
    code = "import hatchling.build as b, sys; print(b.build_sdist(sys.argv[1]))"
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path)], cwd=TOP, capture_output=True, text=True, check=False)
    if done.returncode:
        pytest.skip("hatchling is not installed in this environment")
    with tarfile.open(next(tmp_path.glob("*.tar.gz"))) as archive:
        names = archive.getnames()
    for wanted in ("rules/limits.yaml", "profiles/karst.yaml", "tests/conftest.py", "LICENSE", "README.md"):
        assert any(name.endswith("/" + wanted) for name in names), wanted
    assert not any(".venv" in name or ".git/" in name for name in names)
