"""The wheel holds what the shop needs where no repository is."""

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def names(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"  # two builds at once would share one folder of the tree
    shutil.copytree(ROOT / "src", source / "src", ignore=shutil.ignore_patterns("__pycache__"))
    for path in ROOT.iterdir():
        if path.is_file():
            shutil.copy(path, source)
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(folder), str(source)],
        check=True,
        capture_output=True,
    )
    (wheel,) = folder.glob("witnessmark-*.whl")
    return set(zipfile.ZipFile(wheel).namelist())


@pytest.mark.parametrize(
    "part",
    ["web/templates", "web/static", "papers/fonts", "examples/circuits", "examples/procedures"],
)
def test_every_file_of_a_shipped_folder_is_in_the_wheel(names, part):
    folder = ROOT / "src" / "witnessmark" / part
    files = [
        path for path in folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts
    ]

    missing = [
        str(path.relative_to(ROOT / "src"))
        for path in files
        if str(path.relative_to(ROOT / "src")) not in names
    ]

    assert files
    assert not missing


def test_migrations_and_the_command_are_in_the_wheel(names):
    assert any(name.startswith("witnessmark/record/migrations/0001") for name in names)
    assert any(name.endswith("entry_points.txt") for name in names)
