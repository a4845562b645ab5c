"""The linter, the formatter and the type checker agree with every file."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize(
    "tool",
    [["ruff", "check"], ["ruff", "format", "--check"], ["mypy"]],
    ids=["lint", "format", "types"],
)
def test_every_file_passes(tool):
    checked = subprocess.run(
        [sys.executable, "-m", *tool], cwd=ROOT, capture_output=True, text=True
    )

    assert checked.returncode == 0, checked.stdout + checked.stderr
