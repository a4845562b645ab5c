"""How fast an explorer follows a slider, beside what everybody writes.

    python tests/benchmarks/bench_explorer.py [command] [kernel] [browser] [--of NAME]

Measured are the pull, those named (``--of hit --of roller``), or ``--of all``. The
rival (``rival.py``) runs in the same JupyterLab. Beside it a frugal one, our own print
figure on one bare axes, and the floor: a slider that sets one line of text, which is
what the notebook itself takes of every step.

Each figure stands beside its bar: `met`, or `missed`. Also printed: the kernel's
share, memory over 2,000 steps, a burst of 15 keys, frames a second while something is
dragged in the picture, and how long the command and the first lesson take. Single
figures vary up to twofold between runs, and more where the machine has other work, so
its load stands beside them; ratios and the processor's time are steadier.
"""

import argparse
import random
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
from rival import ENDING, OPENING, RIVAL, Measured, say

sys.path[:0] = [
    str(Path(__file__).parents[1] / name) for name in ("browser", "lessons")
]
from chromium import FLAGS  # noqa: E402
from conftest import Lab  # noqa: E402
from execute import new_reader  # noqa: E402

from widgets import EXPLORERS  # noqa: E402

EXPLORER = """
from widgets import EXPLORERS
explorer = EXPLORERS["{name}"]()
explorer
"""
FRUGAL = """
from IPython.display import display
from workbook.figures.drawing.on_axes import figure_of

def show(value):
    display(figure_of(subject.sheets(solved_at(value), look).whole))
"""
FLOOR = """
import ipywidgets
slider = ipywidgets.FloatSlider(value=0, min=-300, max=300, step=10)
told = ipywidgets.HTML("0 mm")
slider.observe(lambda _: told.set_trait("value", f"{slider.value} mm"), names="value")
ipywidgets.VBox([slider, told])
"""
ARROWS = ("ArrowRight", "ArrowLeft")
DRAWN, IMAGE = ".pw-drawn", ".jp-OutputArea-output img"
TEXT = ".widget-html-content"
# From the key press until the first frame with another picture is drawn, which is
# before the next task. The press comes at any time between two frames.
WATCH = """(handle, [picture, key, wait]) => new Promise((done) => {
  const look = () => {
    const at = document.querySelector(picture);
    return at ? (at.src ?? at.innerHTML) : '';
  };
  const drawn = (then) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = then;
    port2.postMessage(null);
  };
  handle.focus();
  setTimeout(() => {
    const before = look(), start = performance.now();
    const watch = () => look() && look() !== before
      ? drawn(() => done(performance.now() - start))
      : requestAnimationFrame(watch);
    handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
    requestAnimationFrame(watch);
  }, wait);
})"""


# Counts the pictures that a drag brings on the page.
COUNT = """() => {
  window.frames = 0;
  const stage = document.querySelector('.pw-stage');
  new MutationObserver((seen) => (window.frames += seen.length))
    .observe(stage, { attributeFilter: ['data-frame'] });
}"""
DRAG_SECONDS = 5
FRAME = 1000 / 60  # ms
PIXELS = 4  # of a move; a browser takes some 40 moves a second, and fewer make no step


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


def slider_of(page, label=""):
    """Return the handle of the first slider with some label."""
    return page.locator(".widget-slider", has_text=label).locator(".noUi-handle").first


def pressed(page, picture, handle, keys, *, count=43, run=10):
    """Return the median milliseconds of single key presses on a handle.

    Of two ``keys`` the first is pressed some times in a run, then the other as often.
    """
    times = []
    for k in range(count):
        wait = FRAME * random.random()
        key = keys[k // run % 2]
        times.append(handle.evaluate(WATCH, [picture, key, wait]))
        page.wait_for_timeout(60)
    return statistics.median(times[3:])


@contextmanager
def notebooks():
    """Open JupyterLab; yield what runs a notebook of one cell and yields its page."""
    with (
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place,
        sync_playwright() as playwright,
    ):
        folder = Path(place) / "lessons"
        home = Path(place) / "home"
        home.mkdir()
        folder.mkdir()
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

            @contextmanager
            def running(source, picture):
                """Run a notebook of one cell; yield its page."""
                kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
                cells = [v4.new_code_cell(source)]
                notebook = v4.new_notebook(cells=cells, metadata=kernel)
                nbformat.write(notebook, folder / "measured.ipynb")
                lab = lesson("measured.ipynb")
                lab.run_all()
                lab.page.wait_for_selector(picture)
                yield lab.page
                lab.page.close()

            lesson("00_start_here.ipynb").page.close()
            first = time.perf_counter() - start
            say("first lesson on screen, kernel idle", first, "s", most=12, places=1)
            yield running
        browser.close()


def in_browser(names):
    with notebooks() as running:
        with running(FLOOR, TEXT) as page:
            floor = pressed(page, TEXT, slider_of(page), ARROWS)
        say("a slider that sets one line of text, median", floor, "ms")
        for name in names:
            compare(Measured(name), running, floor)


def compare(measured, running, floor):
    """Time key presses of an explorer and of its rivals, and what else a hand does."""
    label, keys = measured.slider.description, ARROWS[:: measured.way]

    def rival(show):
        source = measured.source(OPENING) + show + measured.source(ENDING)
        with running(source, IMAGE) as page:
            return pressed(page, IMAGE, slider_of(page), keys)

    with running(measured.source(EXPLORER), f"{DRAWN} svg") as page:
        mine = pressed(page, DRAWN, slider_of(page, label), keys)
        burst(page, measured)
        drag(page, measured)
    plain, frugal = rival(RIVAL), rival(FRUGAL)
    name = measured.name
    say(f"{name}: key press to changed pixels, median", mine, "ms", most=60)
    say("   the same by plain interact, median", plain, "ms")
    say("   ratio", plain / mine, least=10, places=1)
    say("   the most that it could be here", plain / floor, places=1)
    say("   the same by interact and our print figure, median", frugal, "ms")
    say("   ratio", frugal / mine, places=1)


def burst(page, measured):
    """Press 15 keys as fast as they go, look where the control ends, and go back."""
    control = page.locator(".pw-control", has_text=measured.slider.description).first
    box = control.locator("input[type=text]")
    control.locator(".noUi-handle").focus()
    before = float(box.input_value())
    there, back = ("ArrowRight", "ArrowLeft")[:: measured.way]
    for _ in range(15):
        page.keyboard.press(there)
    page.wait_for_timeout(2_000)
    steps = (float(box.input_value()) - before) / measured.slider.step
    lost = 15 - measured.way * steps
    say(f"{measured.name}: steps lost in a burst of 15 keys", lost, most=0)
    for _ in range(15):
        page.keyboard.press(back)
    page.wait_for_timeout(500)


def drag(page, measured):
    """Drag something to and fro, each move a step, and count the pictures."""
    # The chain of a pull goes from slot to slot: its head goes smoothly.
    slots = "[aria-disabled=true], [aria-valuetext*=slot]"
    grips = page.locator(f".pw-grip:not({slots})")
    grip = grips.first
    if not grips.count():
        return
    box = grip.bounding_box()
    upright = grip.get_attribute("aria-orientation") == "vertical"
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.evaluate(COUNT)
    page.mouse.move(x, y)
    page.mouse.down()
    start, k = time.perf_counter(), 0
    while time.perf_counter() - start < DRAG_SECONDS:
        k += 1
        off = 60 - abs(PIXELS * k % 120 - 60)
        page.mouse.move(x - off * (not upright), y - off * upright)
    frames = page.evaluate("window.frames")
    took = time.perf_counter() - start
    page.mouse.move(x, y)
    page.mouse.up()
    what = f"{measured.name}: pictures a second in a drag"
    say(what, frames / took, least=15)


def in_kernel(names):
    """Time a message in to the picture's message out; watch memory."""
    for name in names:
        one_in_kernel(Measured(name))


def one_in_kernel(measured):
    """Time the messages of one explorer in a kernel of its own."""
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
        f"from widgets import EXPLORERS\nimport psutil, gc, time\n"
        f"explorer = EXPLORERS[{measured.name!r}]()\n"
        f"control = explorer.controls[{measured.field!r}]\n"
        f"slider = control.slider\n"
        f"print(slider.model_id, explorer.stage.model_id)"
    ).split()
    clock = "print(time.process_time())"
    steps = measured.steps(200)

    def answered(comm, data):
        """Return the seconds from a message to the picture."""
        start = time.perf_counter()
        content = {"comm_id": comm, "data": data}
        client.shell_channel.send(client.session.msg("comm_msg", content))
        while True:
            message = client.get_iopub_msg(timeout=10)
            told = message["content"]
            if told.get("comm_id") == stage and "frame" in told["data"]["state"]:
                return time.perf_counter() - start

    def slid(k):
        value = measured.slider.value + steps[k] * measured.slider.step
        state = {"value": value}
        return slider, {"method": "update", "state": state, "buffer_paths": []}

    def dragged(k):
        values = {measured.field: measured.start + steps[k] * measured.step}
        how = {"phase": "move", "via": "mouse", "grab": 1, "values": values}
        move = {"seq": k + 1, **how}
        return stage, {"method": "custom", "content": {"move": move}}

    for what, message in (("slider", slid), ("hand's", dragged)):
        before = float(run(clock))
        times = [answered(*message(k)) for k in range(len(steps))]
        used = (float(run(clock)) - before) / len(times)
        median = statistics.median(times[10:]) * 1e3
        what = f"{measured.name}: {what} message to picture message, median"
        say(what, median, "ms", most=8, places=1)
        say("   processor's time for all of such a step", used * 1e3, "ms", places=1)
    grown = run(
        "def rss():\n    gc.collect()\n"
        "    return psutil.Process().memory_info().rss / 1e6\n"
        f"steps = {measured.steps(40)}\n"
        f"for k in range(2000):\n"
        f"    slider.value = {measured.slider.value} + "
        f"steps[k % 40] * {measured.slider.step}\n"
        "    if k == 100: early = rss()\n"
        "print(rss() - early)"
    )
    what = f"{measured.name}: memory after 2,000 steps over that after 100"
    say(what, float(grown), "MB", most=5, places=1)
    client.stop_channels()
    manager.shutdown_kernel(now=True)


def of_command(_names):
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
    parser = argparse.ArgumentParser()
    # None named at all is checked as if it were a part.
    parser.add_argument("parts", nargs="*", choices=[*parts, []], metavar="PART")
    parser.add_argument("--of", action="append", choices=[*EXPLORERS, "all"])
    asked = parser.parse_args()
    names = asked.of or ["pull"]
    for part in asked.parts or parts:
        parts[part]([*EXPLORERS] if "all" in names else names)
