"""Run lessons from a fresh kernel and store them clean, as they are committed.

    python tests/lessons/execute.py                     # every lesson
    python tests/lessons/execute.py lessons/02_*.ipynb  # some
    python tests/lessons/execute.py --check             # say what is not clean
    python tests/lessons/execute.py --list              # the list in lessons/README.md

What a reader makes anew by running the lesson is not stored: pictures, widgets
and their state, timestamps, the machine's Python version. Text output and the
order of execution are, because nbval compares them with a new run. Code cells
are stored folded; the tag ``show-code`` keeps one open.
"""

import argparse
import copy
import os
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError
from nbformat import NotebookNode

LESSONS = Path(__file__).parents[2] / "lessons"
PICTURES = ("image/png", "image/jpeg", "image/svg+xml")
WIDGETS = (
    "application/vnd.jupyter.widget-view+json",
    "application/vnd.jupyter.widget-state+json",
)
RULE = "|---|---|---|---|---|\n"  # under the head of the list of lessons
CELL_METADATA = {"tags", "jupyter", "slideshow", "editable", "deletable"}


def notebooks() -> list[Path]:
    """Return all that a reader opens: the lessons and the angle card."""
    return sorted(LESSONS.glob("*.ipynb"))


def lessons() -> list[Path]:
    """Return the lessons in the order they are taught."""
    return sorted(LESSONS.glob("[0-9]*.ipynb"))


def code_cells(lesson: NotebookNode) -> list[NotebookNode]:
    """Return the cells that hold code; an empty one is never run or counted."""
    return [c for c in lesson.cells if c.cell_type == "code" and c.source.strip()]


def new_reader(home: Path) -> dict[str, str]:
    """Return the environment of a reader whose home folder is empty.

    So no lesson prints what this machine's user has answered or set before.
    """
    cache = os.environ.get("XDG_CACHE_HOME", str(Path.home() / ".cache"))
    own = ("JUPYTER", "XDG_", "IPYTHON")
    kept = {k: v for k, v in os.environ.items() if not k.startswith(own)}
    return kept | {
        "HOME": str(home),
        "USERPROFILE": str(home),
        "XDG_CACHE_HOME": cache,  # fonts are listed once, not at every run
        "PYTHONUTF8": "1",
    }


def run(lesson: NotebookNode, *, folder: Path) -> None:
    """Run a lesson in place, as a new reader would from the folder it lies in."""
    client = NotebookClient(
        lesson,
        timeout=300,
        kernel_name="python3",
        resources={"metadata": {"path": str(folder)}},
    )
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as home:
        client.execute(env=new_reader(Path(home)))


def clean(lesson: NotebookNode) -> None:
    """Take out in place what a new run would make different or a reader make anew."""
    lesson.metadata = nbformat.from_dict(
        {
            "kernelspec": {
                "display_name": "Python 3 (ipykernel)",
                "language": "python",
                "name": "python3",
            },
            "language_info": {"name": "python"},
        }
    )
    lesson.cells = [cell for cell in lesson.cells if cell.source.strip()]
    for cell in lesson.cells:
        for key in set(cell.metadata) - CELL_METADATA:
            del cell.metadata[key]
    for cell in code_cells(lesson):
        _fold(cell)
        cell.outputs = [output for output in map(_clean_output, cell.outputs) if output]


def _fold(cell: NotebookNode) -> None:
    shown = "show-code" in cell.metadata.get("tags", [])
    cell.metadata.pop("jupyter", None)
    if not shown:
        cell.metadata["jupyter"] = {"source_hidden": True}


def _clean_output(output: NotebookNode) -> NotebookNode | None:
    if "data" in output:
        output.metadata = {}
        for kind in (*PICTURES, *WIDGETS):
            output.data.pop(kind, None)
        if not output.data:
            return None
    return output


def dirt(lesson: NotebookNode) -> Iterator[str]:
    """Yield, in a few words each, what keeps a lesson from being committed."""
    cells = code_cells(lesson)
    counts = [cell.execution_count for cell in cells]
    if counts != list(range(1, len(counts) + 1)):
        yield f"code cells were not run in order from a fresh kernel: {counts}"
    cleaned = copy.deepcopy(lesson)
    clean(cleaned)
    if cleaned != lesson:
        yield "pictures, widgets or noisy metadata are stored, or a cell is unfolded"
    for cell in cells:
        raises = "raises-exception" in cell.metadata.get("tags", [])
        if not raises and any(o.output_type == "error" for o in cell.outputs):
            yield f"an error is stored in cell {cell.execution_count}"


def execute(path: Path) -> None:
    """Run one lesson and write it back clean."""
    lesson = nbformat.read(path, as_version=4)
    run(lesson, folder=path.parent)
    clean(lesson)
    nbformat.write(lesson, path)


def list_of_lessons() -> str:
    """Return the rows of the list of lessons, as the course has them."""
    from workbook import course
    from workbook.language import text

    rows = []
    for one in course.lessons().values():
        said = text("lesson", one.id, "listed")
        ids = dict.fromkeys(id.rstrip("ab") for id in one.exercises)
        ends = [*ids][:: max(1, len(ids) - 1)]  # the first and the last
        cells = [
            f"{one.id[1:]} {said['title']}", said["question"], str(one.minutes),
            said["explorers"], " to ".join(ends) or "–",
        ]  # fmt: skip
        rows.append(f"| {' | '.join(cells)} |\n")
    return "".join(rows)


def write_list(page: Path = LESSONS / "README.md") -> None:
    """Put the list of lessons under its head in the page of the lessons."""
    before, head, after = page.read_text("utf-8").partition(RULE)
    end = after.index("\n\n") + 1
    page.write_text(before + head + list_of_lessons() + after[end:], "utf-8")


def _check(paths: Iterable[Path]) -> int:
    status = 0
    for path in paths:
        for complaint in dirt(nbformat.read(path, as_version=4)):
            print(f"{path.name}: {complaint}", file=sys.stderr)  # noqa: T201
            status = 1
    return status


def main() -> int:
    """Run or check the lessons named, or all; 0 done, 1 could not."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("lessons", nargs="*", type=Path, default=notebooks())
    parser.add_argument("--check", action="store_true", help="change nothing")
    parser.add_argument("--list", action="store_true", help="write the list of lessons")
    args = parser.parse_args()
    if args.list:
        write_list()
        return 0
    if args.check:
        return _check(args.lessons)
    for path in args.lessons:
        try:
            execute(path)
        except CellExecutionError as error:
            print(f"{path.name}: {error}", file=sys.stderr)  # noqa: T201
            return 1
        print(f"{path.name} run and cleaned")  # noqa: T201
    return 0


if __name__ == "__main__":
    sys.exit(main())
