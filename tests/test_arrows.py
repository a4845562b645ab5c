"""Who may import whom: lessons -> widgets -> workbook, and the order within it."""

import ast
import subprocess
import sys
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FORBIDDEN = {
    "workbook": {"widgets", "lessons", "tests", "ipywidgets", "IPython", "pint"},
    "widgets": {"lessons", "tests", "nbformat", "pint"},
}
MAY_DRAW = {"workbook.figures"}
PURE = ("numpy", "workbook.errors", "workbook.mechanics", *sys.stdlib_module_names)

GROUND = {"language", "errors", "files"}
ENGINE = {"mechanics"} | {
    f"mechanics.{subject}"
    for subject in (
        "pull",
        "hydraulics",
        "holding",
        "survey",
        "planner",
        "metal",
        "safety",
    )
}
BODY = GROUND | ENGINE | {"quantities", "equipment", "scenes"}
FIGURES = {"figures", "figures.drawing", "figures.pictures", "figures.sketches"}
# What each part of workbook may import besides itself. A part is a folder, in mechanics
# and figures a folder inside it; the name alone is what these share.
MAY_IMPORT = {
    "language": set(),
    "files": set(),
    "errors": {"language", "quantities"},
    "quantities": {"language"},
    "mechanics": {"errors"},
    "mechanics.pull": {"errors", "mechanics"},
    "mechanics.hydraulics": {"errors", "mechanics"},
    "mechanics.holding": {"errors", "mechanics"},
    "mechanics.survey": {"errors", "mechanics"},
    "mechanics.metal": {"errors", "mechanics"},
    "mechanics.safety": {"errors", "mechanics"},
    "mechanics.planner": {
        "errors", "mechanics", "mechanics.pull", "mechanics.hydraulics",
        "mechanics.holding",
    },
    "equipment": GROUND | ENGINE | {"quantities"},
    "scenes": BODY - {"scenes"},
    "exercises": BODY,
    "figures.drawing": GROUND | {"quantities"},
    "figures": GROUND | {"quantities", "scenes", "figures.drawing"},
    "figures.pictures": BODY | {"figures", "figures.drawing"},
    "figures.sketches": BODY | {"exercises", "figures.drawing"},
    "course": BODY | {"exercises", "figures", "figures.drawing", "figures.pictures"},
    "reader": GROUND | {"quantities", "exercises", "course"},
    "bay": BODY | {"exercises", "reader"},
    "reports": BODY | FIGURES,
    "classroom": BODY | FIGURES | {"exercises", "course", "reader", "reports", "bay"},
    "cli": BODY | FIGURES | {
        "exercises", "course", "reader", "reports", "classroom", "bay",
    },
    "__main__": {"cli"},
    "__init__": set(),
}  # fmt: skip


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


def test_only_figures_draw():
    for name, path in (modules("workbook") | modules("widgets")).items():
        draws = any(within(s, {"matplotlib"}) for s in imported(name, path))

        assert not draws or within(name, MAY_DRAW), name


def part_of(name):
    """Return the part of workbook that a module belongs to."""
    parts = name.split(".")[1:] or ["__init__"]
    wide = parts[0] in {"mechanics", "figures"} and len(parts) > 1
    inner = ".".join(parts[:2])
    return inner if wide and inner in MAY_IMPORT else parts[0]


def test_each_part_of_workbook_imports_only_what_it_may():
    known = modules("workbook")
    arrows = {
        (part_of(name), part_of(source), name)
        for name, path in known.items()
        for source in imported(name, path)
        if source.startswith("workbook.") and source != "workbook.__version__"
    }
    wrong = {
        (here, there, name)
        for here, there, name in arrows
        if here != there and there not in MAY_IMPORT[here]
    }

    assert {here for here, _, _ in arrows} >= {"mechanics.pull", "course", "reports"}
    assert wrong == set()


def test_what_may_be_imported_leads_round_no_circle():
    order = [*TopologicalSorter(MAY_IMPORT).static_order()]

    assert order.index("mechanics") < order.index("exercises") < order.index("cli")


def loaded_by(*sources):
    """Return the names of what fresh processes have loaded after some lines."""
    probe = "import sys; print(*(name for name, it in sys.modules.items() if it))"
    runs = [
        subprocess.run(
            [sys.executable, "-c", f"{source}\n{probe}"],
            capture_output=True,
            text=True,
            check=True,
        )
        for source in sources
    ]
    return [{*run.stdout.split()} for run in runs]


def test_the_engine_loads_without_pictures_units_or_notebooks():
    (loaded,) = loaded_by("import workbook")

    assert "workbook" in loaded
    assert not {"matplotlib", "pint", "ipywidgets", "jupyterlab", "typst"} & loaded


def test_what_runs_for_each_student_of_a_class_loads_nothing_it_does_not_need():
    light = "from workbook.reader.light import *; "
    lesson, server, kernel = loaded_by(
        "import widgets",
        f"{light}lighten_server(); import jupyterlab.labapp",
        f"{light}leave_out(KERNEL); import ipykernel.debugger",
    )

    assert {"widgets", "numpy"} <= lesson
    assert not {"matplotlib", "scipy", "pandas", "typst", "tqdm"} & lesson
    assert "jsonschema" in server
    assert not {"rfc3987_syntax", "debugpy", "numpy"} & server
    assert "ipykernel.debugger" in kernel
    assert not {"debugpy", "pydevd"} & kernel


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
