"""The page on files and fields explains every key and every field there is."""

import json
from pathlib import Path

import pytest

import workbook.scenes
from workbook.cli import main
from workbook.scenes import holds, plan_files
from workbook.scenes.kestrin import kestrin_survey
from workbook.scenes.points import parse_points

PAGE = Path(workbook.scenes.__file__).with_name("README.md").read_text("utf-8")
SETUP = "form = 1\n"
KEYS = [
    (part, table, name, key)
    for part, tables in (
        ("Clamp files", holds.TABLES),
        ("Plan files", plan_files.TABLES),
    )
    for table, keys in tables.items()
    for name, key in keys.items()
]


def section(head):
    """Return what stands under a head of the page."""
    return PAGE.split(f"## {head}\n")[1].split("\n## ")[0]


@pytest.mark.parametrize(
    ("part", "table", "name", "key"),
    KEYS,
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_every_key_of_a_file_stands_with_its_range(part, table, name, key):
    rows = [row for row in section(part).splitlines() if row.startswith(f"| `{name}`")]

    (row,) = (row for row in rows if row.split("|")[2].strip() in {"all", table})
    assert key.meaning in row
    assert f"{key.low:g} to {key.high:g}" in row
    assert key.unit == "1" or f" {key.unit} |" in row


@pytest.mark.parametrize("command", ["survey", "damage", "bench", "plan"])
def test_every_field_of_the_json_is_explained(command, tmp_path, capsys):
    setup = tmp_path / "setup.toml"
    setup.write_text(SETUP, "utf-8")
    given = {
        "survey": ["kestrin", "--spec", "kestrin"],
        "damage": ["kestrin", "--spec", "kestrin"],
        "bench": [str(setup), "--clamps", "kestrin"],
        "plan": ["kestrin"],
    }[command]

    assert main([command, *given, "--json"]) == 0

    data = json.loads(capsys.readouterr().out)
    names = {*data} - {"form", "caution"}
    for rows in data.values():
        if isinstance(rows, list) and rows and isinstance(rows[0], dict):
            names |= {name for row in rows for name in row}
    text = section(f"Fields of `pullwright {command} --json`")
    assert [name for name in sorted(names) if f"`{name}`" not in text] == []


def test_the_point_file_on_the_page_can_be_read():
    example = PAGE.split("```csv\n")[1].split("```")[0]

    points = parse_points(example)

    assert set(points.ids) <= set(kestrin_survey().ids)
    assert points.limits is not None
