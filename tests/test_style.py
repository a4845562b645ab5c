"""The linter, the formatter and the type checker agree with every file."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize(
    "tool",
    [
        ["ruff", "check"],
        ["ruff", "format", "--check"],
        ["mypy"],
    ],
    ids=["lint", "format", "types"],
)
def test_every_file_passes(tool):
    checked = subprocess.run(
        [sys.executable, "-m", *tool], cwd=ROOT, capture_output=True, text=True
    )

    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_every_script_of_the_page_passes():
    scripts = sorted(
        path for part in ("widgets", "workbook") for path in (ROOT / part).rglob("*.js")
    )
    linter = shutil.which("oxlint", path=Path(sys.executable).parent)
    assert scripts
    assert linter, "oxlint is among the packages for developers"

    checked = subprocess.run(
        [linter, "--deny-warnings", *scripts], cwd=ROOT, capture_output=True, text=True
    )

    assert f"on {len(scripts)} file" in checked.stdout
    assert checked.returncode == 0, checked.stdout + checked.stderr
