"""A built wheel holds all that publishing needs, themes included, and works away from this folder."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.project import CONTENT, PACKAGE, TOP


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel with what is installed here, without asking a registry."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    result = subprocess.run(command, cwd=TOP, capture_output=True, text=True)
    assert result.returncode == 0, result.stderr[-2000:]
    (built,) = folder.glob("*.whl")
    return built


def test_wheel_holds_the_package_and_the_themes(wheel: Path) -> None:
    """Every file of the package and of themes/ is in the wheel, and nothing of the tests or the demo."""
    held = set(zipfile.ZipFile(wheel).namelist())
    package = {str(p.relative_to(TOP)) for p in PACKAGE.rglob("*") if _counts(p)}
    themes = {f"reportgen/{p.relative_to(TOP)}" for p in (TOP / "themes").rglob("*") if _counts(p)}
    assert themes
    assert package | themes <= held
    assert {n.split("/")[0].split("-")[0] for n in held} == {"reportgen"}


def _counts(path: Path) -> bool:
    return path.is_file() and "__pycache__" not in path.parts


def test_wheel_publishes_away_from_the_project(wheel: Path, tmp_path: Path) -> None:
    """reportgen installed from the wheel finds its themes and publishes a survey."""
    home = tmp_path / "installed"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(home)
    env = {k: v for k, v in os.environ.items() if not k.startswith("COV")} | {"PYTHONPATH": str(home)}
    # without -P the folder one stands in comes first, which could be the project
    python = [sys.executable, "-P"]
    where = [*python, "-c", "import reportgen; print(reportgen.__file__)"]
    told = subprocess.run(where, cwd=tmp_path, env=env, capture_output=True, text=True).stdout
    assert told.startswith(str(home))
    survey = sorted(p.parent for p in CONTENT.rglob("cover.md"))[0]
    command = [*python, "-m", "reportgen", "publish", str(survey), "--to", "packet"]
    result = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True)
    assert result.returncode == 0, result.stderr
    assert (tmp_path / "packet" / "index.html").exists()
