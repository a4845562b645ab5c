"""The numbers printed in the lessons are those a new run prints."""

import subprocess
import sys

from execute import LESSONS, execute
from nbformat import v4, write

NBVAL = [sys.executable, "-m", "pytest", "--nbval", "--nbval-current-env", "-q"]
QUIET = ["-p", "no:cacheprovider"]


def run_nbval(folder, environment):
    return subprocess.run(
        [*NBVAL, *QUIET, folder],
        env=environment,
        cwd=LESSONS.parent,
        capture_output=True,
        text=True,
    )


def test_every_lesson_prints_what_is_stored(reader_environment):
    compared = run_nbval(LESSONS, reader_environment)

    assert compared.returncode == 0, compared.stdout + compared.stderr


def test_a_lesson_that_stores_another_number_is_caught(reader_environment, tmp_path):
    lesson = tmp_path / "lesson.ipynb"
    write(v4.new_notebook(cells=[v4.new_code_cell("print(f'{6 * 7} N')")]), lesson)
    execute(lesson)
    stored = lesson.read_text(encoding="utf-8")

    lesson.write_text(stored.replace('"42 N', '"43 N'), encoding="utf-8")
    compared = run_nbval(tmp_path, reader_environment)

    assert "42 N" in stored
    assert compared.returncode == 1
    assert "43 N" in compared.stdout
