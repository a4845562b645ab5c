"""Who may import whom: lessons -> widgets -> workbook, mechanics alone below."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FORBIDDEN = {
    "workbook": {"widgets", "lessons", "tests", "ipywidgets", "IPython"},
    "widgets": {"lessons", "tests", "nbformat"},
}
MAY_DRAW = {"workbook.figures", "widgets.stage"}
PURE = ("numpy", "workbook.errors", "workbook.mechanics", *sys.stdlib_module_names)


def modules(package):
    """Return the files of a package by dotted name."""
    paths = sorted((ROOT / package).rglob("*.py"))
    assert paths, f"no modules found in {package}/"
    return {
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(
            ".__init__"
        ): path
        for path in paths
    }


def imported(name, path):
    """Return the dotted names a module imports, wherever in it."""
    package = name if path.stem == "__init__" else name.rpartition(".")[0]
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: package.count(".") + 2 - node.level]
            parts = [*above, node.module] if node.level else [node.module]
            source = ".".join(filter(None, parts))
            found |= {f"{source}.{alias.name}" for alias in node.names}
    return found


def within(name, packages):
    """Tell whether a dotted name is one of the packages or inside one."""
    return any(
        name == package or name.startswith(f"{package}.") for package in packages
    )


@pytest.mark.parametrize("package", sorted(FORBIDDEN))
def test_no_forbidden_import(package):
    for name, path in modules(package).items():
        roots = {source.partition(".")[0] for source in imported(name, path)}

        assert not roots & FORBIDDEN[package], name


def test_mechanics_stands_on_numpy_and_the_standard_library_alone():
    for name, path in modules("workbook/mechanics").items():
        others = {s for s in imported(name, path) if not within(s, PURE)}

        assert not others, name


def test_only_figures_and_the_stage_draw():
    for name, path in (modules("workbook") | modules("widgets")).items():
        draws = any(within(s, {"matplotlib"}) for s in imported(name, path))

        assert not draws or within(name, MAY_DRAW), name


def test_no_two_modules_import_each_other():
    known = modules("workbook") | modules("widgets")
    arrows = {
        # "from a.b import c" names the module a.b.c, or something in a.b
        (name, source if source in known else source.rpartition(".")[0])
        for name, path in known.items()
        for source in imported(name, path)
    }

    both_ways = {arrow for arrow in arrows if arrow[::-1] in arrows}

    assert ("workbook.cli", "workbook.errors") in arrows
    assert not both_ways


def test_the_engine_loads_without_pictures_units_or_notebooks():
    probe = "import sys, workbook; print(*sys.modules)"

    loaded = subprocess.run(
        [sys.executable, "-c", probe], capture_output=True, text=True, check=True
    ).stdout.split()

    assert "workbook" in loaded
    assert not {"matplotlib", "pint", "ipywidgets", "jupyterlab", "typst"} & set(loaded)


def test_importing_is_seen_however_it_is_written(tmp_path):
    module = tmp_path / "probe.py"
    module.write_text(
        "import a.b\n"
        "from c import d\n"
        "from . import e\n"
        "from .f import g\n"
        "from ..h import i\n"
        "def late():\n    import j\n"
    )

    found = imported("top.middle.probe", module)

    assert found == {
        "a.b",
        "c.d",
        "top.middle.e",
        "top.middle.f.g",
        "top.h.i",
        "j",
    }
