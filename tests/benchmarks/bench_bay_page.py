"""How fast the practice bay follows a hand, beside what everybody writes.

    python tests/benchmarks/bench_bay_page.py

A ram is set out on a car that was measured: its hook goes from slot to slot by a key,
and the picture is turned by an arrow. Timed is a key
press until the first frame with another picture. The rival, in the same run and the
same JupyterLab, is the same bay by plain ``interact``: at every step the same act, the
same data and the same sheet, its marks on pyplot's axes.
"""

from bench_explorer import (
    ARROWS,
    DRAW,
    DRAWN,
    FLOOR,
    IMAGE,
    TEXT,
    notebooks,
    pressed,
    say,
    slider_of,
)

PAGES = ("PageUp", "PageDown")
# A ram that stands with its hook up to three slots off the middle.
OPENING = """
import json
from workbook.bay.car import VERSION
from workbook.bay.job import do, new_job

CHAIN = "13 mm chain, grade 8, EN 818-2"
RAM = {
    "ram": "A", "part": "ram 48", "socket": "ahead left", "fork": "ahead left",
    "slot": 0, "extension": "extension 75", "chain": CHAIN, "links": 25,
    "head": "large head", "clamp": "broad clamp", "place": "left tip",
}
DONE = [
    {"act": "begin", "version": VERSION, "rating_margin": 0.9,
     "zone_half_angle_deg": 20},
    {"act": "survey"},
    *({"act": "clamp", "station": f"{side} {end}"}
      for side in ("left", "right") for end in ("front", "rear")),
    {"act": "set_out", **RAM, "ram": "B", "socket": "side left", "fork": "side left"},
]
"""
BAY = f"""{OPENING}
from widgets.practice_bay import PracticeBay
bay = PracticeBay()
for act in DONE:
    bay.do(act)
given = {{name: json.dumps(value) for name, value in RAM.items()}}
bay.open_form("set_out", given)
bay
"""
RIVAL = f"""{OPENING}{DRAW}
import ipywidgets
from workbook.bay.data import as_data, floor_data
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures.practice_bay import practice_bay_sheet
from workbook.quantities.units import METRIC

start = new_job(class_key="oak", student="S0")
for act in DONE:
    start = do(start, act)

def show(slot):
    bay = do(start, {{"act": "set_out", **RAM, "slot": slot}})
    sheet = practice_bay_sheet(
        as_data(bay), floor_data(), system=METRIC, view=VIEWS["home"]
    )
    fig, axes = plt.subplots(figsize=(9, 6))
    draw(axes, sheet.panels[0].drawing)
    plt.tight_layout()
    plt.show()
    print(sheet.text)
"""
SLIDER = """
slider = ipywidgets.IntSlider(value=0, min=-3, max=3)
ipywidgets.interact(show, slot=slider);
"""


def main():
    """Print each figure beside its bar."""
    with notebooks() as running:
        with running(FLOOR, TEXT) as page:
            floor = pressed(page, TEXT, slider_of(page), ARROWS)
        say("a slider that sets one line of text, median", floor, "ms")
        with running(BAY, f"{DRAWN} svg") as page:
            hook = page.locator('.pw-grip[aria-label^="Hook"]')
            mine = pressed(page, DRAWN, hook, PAGES)
            say("bay: key press at the hook to changed pixels", mine, "ms", most=60)
            area = page.locator(".pw-turn")
            turned = pressed(page, DRAWN, area, ARROWS, run=5)  # and not to the end
            say("bay: key press that turns it to changed pixels", turned, "ms", most=60)
        with running(RIVAL + SLIDER, IMAGE) as page:
            plain = pressed(page, IMAGE, slider_of(page), ARROWS, run=3)
        say("   the hook by plain interact, median", plain, "ms")
        say("   ratio", plain / mine, least=5, places=1)
        say("   the most that it could be here", plain / floor, places=1)


if __name__ == "__main__":
    main()
