"""The values for JupyterHub on Kubernetes: known to the chart, and doing their work."""

import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import jupyterhub
import pytest
import yaml
from traitlets.config import Config

from workbook import __version__
from workbook.classroom.server.codes import CodeAuthenticator
from workbook.reader.opening import shipped_lessons
from workbook.reader.record import FILE, Record

ROOT = Path(__file__).parents[2]
SCHEMA = json.loads(Path(__file__).with_name("chart_values.json").read_text("utf-8"))


@pytest.fixture
def values():
    return yaml.safe_load((ROOT / "binder/values.yaml").read_text("utf-8"))


def test_the_chart_knows_every_key(values):
    jsonschema.validate(values, SCHEMA)

    for odd in ({"hub": {"extraConfigs": {}}}, {"cull": {"enabled": "yes"}}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(values | odd, SCHEMA)


def test_what_the_hub_is_told_lets_the_class_in(values):
    c = Config()

    for code in values["hub"]["extraConfig"].values():
        exec(code, {"c": c})

    assert c.JupyterHub.authenticator_class is CodeAuthenticator
    mounts = [mount["mountPath"] for mount in values["hub"]["extraVolumeMounts"]]
    assert str(Path(c.CodeAuthenticator.class_file).parent) in mounts


def test_a_student_gets_this_version_and_a_lesson_that_there_is(values):
    tags = {values[part]["image"]["tag"] for part in ("hub", "singleuser")}

    assert tags == {__version__.removesuffix(".dev0")}
    opened = values["singleuser"]["defaultUrl"].removeprefix("/lab/tree/")
    assert opened in shipped_lessons()


def test_the_command_of_a_place_prepares_it_and_becomes_its_server(values, tmp_path):
    command = [sys.executable, *values["singleuser"]["cmd"][1:], "--version"]
    told = {"PULLWRIGHT_STUDENT": "K7MR", "PULLWRIGHT_CLASS_KEY": "oak"}

    done = subprocess.run(
        command,
        cwd=tmp_path,
        env=os.environ | told | {"HOME": str(tmp_path), "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )

    assert done.stdout.strip() == jupyterhub.__version__
    assert Record(tmp_path / FILE).reader.student == "K7MR"
    assert {*shipped_lessons()} <= {one.name for one in tmp_path.iterdir()}
