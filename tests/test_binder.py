"""The Binder environment pins what the project needs, and nothing else."""

import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[1]


def read(lines):
    """Return requirements by name."""
    wanted = (Requirement(line) for line in lines if line and line[0] != "#")
    return {requirement.name.lower(): requirement for requirement in wanted}


@pytest.fixture
def needed():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return read(project["project"]["dependencies"])


@pytest.fixture
def pinned():
    return read((ROOT / "binder/requirements.txt").read_text().splitlines())


def test_what_is_pinned_is_what_the_project_needs(needed, pinned):
    assert set(pinned) == set(needed)


def test_each_pin_is_one_version_the_project_allows(needed, pinned):
    for name, requirement in pinned.items():
        (pin,) = requirement.specifier

        assert pin.operator == "==", name
        assert needed[name].specifier.contains(pin.version), name
