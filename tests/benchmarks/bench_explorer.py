"""How fast the pull explorer follows a slider, beside what everybody writes.

    python tests/benchmarks/bench_explorer.py [command] [kernel] [browser]

The rival, measured in the same run and the same JupyterLab, is what the author of a
course would write for the same page: plain ``interact`` with a fresh pyplot figure at
every step, of four axes with the same marks in the same looks, and the same words and
numbers printed under it. It places no label. Beside it a frugal rival, our own print
figure on one bare axes, and the floor: a slider that sets one line of text, which is
what the notebook itself takes of every step.

Each figure stands beside its bar: `met`, or `missed`. Also printed: the kernel's
share, memory over 2,000 steps, a burst of 15 keys, frames a second while the head is
dragged in the picture, and how long the command and the first lesson take. Single
figures vary up to twofold between runs, and more where the machine has other work, so
its load stands beside them; ratios and the processor's time are steadier.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

import nbformat
from jupyter_client.manager import start_new_kernel
from nbformat import v4
from playwright.sync_api import sync_playwright

sys.path[:0] = [
    str(Path(__file__).parents[1] / name) for name in ("browser", "lessons")
]
from chromium import FLAGS  # noqa: E402
from conftest import Lab  # noqa: E402
from execute import new_reader  # noqa: E402

EXPLORER = """
from widgets import PullExplorer
explorer = PullExplorer()
explorer
"""
RIVAL = """
import ipywidgets
import matplotlib.pyplot as plt
from matplotlib.patheffects import withStroke
from workbook.figures.drawing.marks import Arrow, Line, Marker, Polygon, Strokes
from workbook.figures.drawing.styles import INK, STYLES
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures.pull import PULL
from workbook.figures.subject import Look
from workbook.scenes.setups import Setup
from workbook.quantities.units import METRIC

SHAPES = {"square": "s", "diamond": "D", "triangle": "^", "cross": "X"}
HALO = [withStroke(linewidth=3, foreground="white")]

def draw(axes, drawing):
    left, right, bottom, top = drawing.window
    axes.set(xlim=(left, right), ylim=(bottom, top), title=drawing.caption)
    if drawing.true_scale:
        axes.set_aspect("equal")
    for mark in drawing.seen:
        style = STYLES[mark.role]
        ink = (style.stroke or INK)["light"]
        dash = "--" if style.dash else "-"
        pen = {"color": ink, "linewidth": style.width, "linestyle": dash}
        if isinstance(mark, Line):
            axes.plot(*zip(*mark.points), **pen)
        elif isinstance(mark, Polygon):
            fill = style.fill["light"] if style.fill else "none"
            axes.fill(*zip(*mark.points), facecolor=fill, edgecolor=ink)
        elif isinstance(mark, Strokes):
            for stroke in mark.strokes:
                axes.plot(*zip(*stroke), **pen)
        elif isinstance(mark, Marker):
            axes.plot(*mark.at, SHAPES.get(mark.shape, "o"), color=ink)
        elif isinstance(mark, Arrow):
            shape = {"arrowstyle": "->", "color": ink, "linewidth": style.width}
            axes.annotate("", mark.head, mark.tail, arrowprops=shape)
        else:
            how = {"color": ink, "ha": "center", "path_effects": HALO}
            axes.annotate(
                mark.text, mark.at, mark.shift, textcoords="offset points", **how
            )

def show(offset):
    solved = Setup(values={"fork_offset_mm": offset}).solved()
    sheet = PULL.sheets(solved, Look(system=METRIC, view=VIEWS["home"])).whole
    fig, axes = plt.subplots(2, 2, figsize=(9, 6))
    for one, panel in zip(axes.flat, sheet.panels):
        draw(one, panel.drawing)
    plt.tight_layout()
    plt.show()
    print(sheet.text)
    for name, value in PULL.numbers(solved, METRIC):
        print(f"{name:30}{value}")

slider = ipywidgets.FloatSlider(value=0, min=-300, max=300, step=10)
ipywidgets.interact(show, offset=slider);
"""
FRUGAL = """
import ipywidgets
from IPython.display import display
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures.pull import PULL
from workbook.figures.subject import Look
from workbook.scenes.setups import Setup
from workbook.quantities.units import METRIC

def show(offset):
    solved = Setup(values={"fork_offset_mm": offset}).solved()
    sheet = PULL.sheets(solved, Look(system=METRIC, view=VIEWS["home"])).whole
    display(figure_of(sheet))

slider = ipywidgets.FloatSlider(value=0, min=-300, max=300, step=10)
ipywidgets.interact(show, offset=slider);
"""
FLOOR = """
import ipywidgets
slider = ipywidgets.FloatSlider(value=0, min=-300, max=300, step=10)
told = ipywidgets.HTML("0 mm")
slider.observe(lambda _: told.set_trait("value", f"{slider.value} mm"), names="value")
ipywidgets.VBox([slider, told])
"""
DRAWN = ".pw-drawn"
# From the key press to the first painted frame in which the picture differs.
WATCH = """([picture, slider, key]) => new Promise((done) => {
  const look = () => {
    const at = document.querySelector(picture);
    return at ? (at.src ?? at.innerHTML) : '';
  };
  const handle = document.querySelectorAll('.noUi-handle')[slider];
  handle.focus();
  const before = look(), start = performance.now();
  handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
  const wait = () => look() && look() !== before
    ? requestAnimationFrame(() => done(performance.now() - start))
    : requestAnimationFrame(wait);
  requestAnimationFrame(wait);
})"""


# Counts the pictures that a drag brings on the page.
COUNT = """() => {
  window.frames = 0;
  const stage = document.querySelector('.pw-stage');
  new MutationObserver((seen) => (window.frames += seen.length))
    .observe(stage, { attributeFilter: ['data-frame'] });
}"""
DRAG_SECONDS = 5


def say(what, value, unit="", *, most=None, least=None, places=0):
    """Print a figure beside its bar, and whether it was met."""
    bar, met = "", ""
    if most is not None:
        bar, met = f"at most {most} {unit}", "met" if value <= most else "missed"
    if least is not None:
        bar, met = f"at least {least} {unit}", "met" if value >= least else "missed"
    shown = f"{value:.{places}f} {unit}"
    load = f"load {os.getloadavg()[0]:.1f}"
    print(f"{what:<58} {shown:>12}   {bar:<16} {met:<7} {load}", flush=True)


@contextmanager
def opened(folder, home):
    """Open the workbook on a folder; yield its address."""
    process = subprocess.Popen(
        [sys.executable, "-m", "workbook", "open", str(folder), "--no-browser"],
        env=new_reader(home),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    lines = iter(process.stdout.readline, "")
    yield next(x for x in lines if x.startswith("Open at ")).split()[-1]
    process.kill()
    process.wait()


def timed(lab, picture, *, slider):
    """Run a lesson; return the median milliseconds of single key presses."""
    lab.run_all()
    lab.page.wait_for_selector(f"{picture}")
    times = []
    for k in range(43):
        key = "ArrowRight" if k % 20 < 10 else "ArrowLeft"
        times.append(lab.page.evaluate(WATCH, [picture, slider, key]))
        lab.page.wait_for_timeout(60)
    if picture == DRAWN:
        burst(lab.page)
        drag(lab.page)
    lab.page.close()
    return statistics.median(times[3:])


def in_browser():
    with (
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place,
        sync_playwright() as playwright,
    ):
        folder = Path(place) / "lessons"
        home = Path(place) / "home"
        home.mkdir()
        folder.mkdir()
        for name, source in (
            ("explorer", EXPLORER),
            ("rival", RIVAL),
            ("frugal", FRUGAL),
            ("floor", FLOOR),
        ):
            kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
            cells = [v4.new_code_cell(source)]
            lesson = v4.new_notebook(cells=cells, metadata=kernel)
            nbformat.write(lesson, folder / f"{name}.ipynb")
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=FLAGS
        )
        start = time.perf_counter()
        with opened(folder, home) as address:

            def lesson(name):
                page = browser.new_page(viewport={"width": 1366, "height": 1200})
                page.set_default_timeout(60_000)
                # Each page forgets what the last one had open.
                fresh = f"{address}&reset"
                lab = Lab(page, folder=folder, address=fresh, shots=folder)
                lab.open(name)
                return lab

            lesson("00_start_here.ipynb").page.close()
            first = time.perf_counter() - start
            say("first lesson on screen, kernel idle", first, "s", most=12, places=1)
            mine = timed(lesson("explorer.ipynb"), DRAWN, slider=1)
            image = ".jp-OutputArea-output img"
            rival = timed(lesson("rival.ipynb"), image, slider=0)
            frugal = timed(lesson("frugal.ipynb"), image, slider=0)
            floor = timed(lesson("floor.ipynb"), ".widget-html-content", slider=0)
        browser.close()
    say("key press to changed pixels, median", mine, "ms", most=60)
    say("the same by plain interact, median", rival, "ms")
    say("ratio", rival / mine, least=10, places=1)
    say("the same by interact and our print figure, median", frugal, "ms")
    say("ratio", frugal / mine, places=1)
    say("a slider that sets one line of text, median", floor, "ms")
    say("the most that the ratio could be here", rival / floor, places=1)


def burst(page):
    """Press 15 keys as fast as they go, and look where the control ends."""
    box = page.locator(".pw-control input[type=text]").nth(1)
    page.locator(".noUi-handle").nth(1).focus()
    before = float(box.input_value())
    for _ in range(15):
        page.keyboard.press("ArrowRight")
    page.wait_for_timeout(2_000)
    lost = 15 - (float(box.input_value()) - before) / 10
    say("steps lost in a burst of 15 keys", lost, most=0)


def drag(page):
    """Drag the head up and down by a pixel at a time, and count the pictures."""
    box = page.get_by_role("slider", name="head H").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.evaluate(COUNT)
    page.mouse.move(x, y)
    page.mouse.down()
    start, k = time.perf_counter(), 0
    while time.perf_counter() - start < DRAG_SECONDS:
        k += 1
        page.mouse.move(x, y - abs(k % 120 - 60))
    frames = page.evaluate("window.frames")
    took = time.perf_counter() - start
    page.mouse.up()
    say("pictures a second while the head is dragged", frames / took, least=15)


def in_kernel():
    """Time a message in to the picture's message out; watch memory."""
    manager, client = start_new_kernel()

    def run(source, timeout=300):
        told = []
        client.execute_interactive(
            source,
            output_hook=lambda message: told.append(message["content"].get("text", "")),
            timeout=timeout,
        )
        return "".join(told)

    slider, stage = run(
        "from widgets import PullExplorer\nimport psutil, gc, time\n"
        "explorer = PullExplorer()\n"
        "slider = explorer.controls['fork_offset_mm'].slider\n"
        "print(slider.model_id, explorer.stage.model_id)"
    ).split()
    clock = "print(time.process_time())"

    def answered(comm, state):
        """Return the seconds from a changed state to the picture."""
        start = time.perf_counter()
        data = {"method": "update", "state": state, "buffer_paths": []}
        content = {"comm_id": comm, "data": data}
        client.shell_channel.send(client.session.msg("comm_msg", content))
        while True:
            message = client.get_iopub_msg(timeout=10)
            told = message["content"]
            if told.get("comm_id") == stage and "frame" in told["data"]["state"]:
                return time.perf_counter() - start

    def slid(k):
        return slider, {"value": 10.0 * (k % 20 + 1)}

    def dragged(k):
        values = {"fork_offset_mm": 10.0 * (k % 20 + 1)}
        how = {"phase": "move", "via": "mouse", "grab": 1, "values": values}
        return stage, {"move": {"seq": k + 1, **how}}

    for what, state in (("slider", slid), ("hand's", dragged)):
        before = float(run(clock))
        times = [answered(*state(k)) for k in range(200)]
        used = (float(run(clock)) - before) / len(times)
        median = statistics.median(times[10:]) * 1e3
        what = f"in the kernel, {what} message to picture message, median"
        say(what, median, "ms", most=8, places=1)
        say("   processor's time for all of such a step", used * 1e3, "ms", places=1)
    grown = run(
        "def rss():\n    gc.collect()\n"
        "    return psutil.Process().memory_info().rss / 1e6\n"
        "for k in range(2000):\n"
        "    slider.value = 10.0 * (k % 40) - 200\n"
        "    if k == 100: early = rss()\n"
        "print(rss() - early)"
    )
    what = "memory after 2,000 steps over that after 100"
    say(what, float(grown), "MB", most=5, places=1)
    client.stop_channels()
    manager.shutdown_kernel(now=True)


def of_command():
    """Time the command and the import, best of five."""

    def best(*argv):
        times = []
        for _ in range(5):
            start = time.perf_counter()
            subprocess.run([sys.executable, *argv], check=True, capture_output=True)
            times.append(time.perf_counter() - start)
        return min(times)

    with tempfile.TemporaryDirectory() as place:
        setup = Path(place) / "setup.toml"
        setup.write_text("form = 1\n")
        took = best("-m", "workbook", "pull", str(setup))
        say("pullwright pull, from the shell", took, "s", most=1, places=2)
    bare, whole = best("-c", "pass"), best("-c", "import workbook")
    what = "import workbook, beyond a bare start"
    say(what, whole - bare, "s", most=0.3, places=2)


if __name__ == "__main__":
    parts = {"command": of_command, "kernel": in_kernel, "browser": in_browser}
    for part in sys.argv[1:] or parts:
        parts[part]()
