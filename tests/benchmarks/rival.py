"""What timings of explorers have in common: the rival, the slider, a printed figure.

The rival is what the author of a course would write for the same page: plain
``interact`` with a fresh pyplot figure at every step, each drawing on axes of its own
with the same marks in the same looks, and the same words and numbers printed under it.
It places no label.
"""

import os

from widgets import EXPLORERS

# What both rivals begin and end with.
OPENING = """
import ipywidgets
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.quantities.units import METRIC
from workbook.scenes.fields import checked

subject = subjects()["{name}"]
view = VIEWS["home"] if subject.in_space else None
look = Look(system=subject.units(METRIC), view=view)

def solved_at(value):
    return subject.solve(checked(subject.fields, {{"{field}": value}}))
"""
ENDING = """
slider = ipywidgets.FloatSlider(
    value={value}, min={low}, max={high}, step={step}
)
ipywidgets.interact(show, value=slider);
"""
DRAW = """
from math import ceil
import matplotlib.pyplot as plt
from matplotlib.patheffects import withStroke
from workbook.figures.drawing.marks import Arrow, Line, Marker, Polygon, Strokes
from workbook.figures.drawing.styles import INK, STYLES

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
"""
RIVAL = f"""{DRAW}
def show(value):
    solved = solved_at(value)
    sheet = subject.sheets(solved, look).whole
    drawings = [panel.drawing for panel in sheet.panels if panel.drawing.seen]
    fig, axes = plt.subplots(ceil(len(drawings) / 2), 2, figsize=(9, 6))
    for one, drawing in zip(axes.flat, drawings):
        draw(one, drawing)
    plt.tight_layout()
    plt.show()
    print(sheet.text)
    for name, value in subject.numbers(solved, look.system):
        print(f"{{name:30}}{{value}}")
"""


class Measured:
    """An explorer, and the slider of it that goes ten steps one way and back."""

    def __init__(self, name):
        explorer = EXPLORERS[name]()
        self.name = name
        # Of a pull not the first, which turns all of it, but the one a lesson moves.
        self.field = "fork_offset_mm" if name == "pull" else explorer.subject.front[0]
        control = explorer.controls[self.field]
        self.start, self.step = control.value, control.field.step
        self.slider = control.slider
        room = self.slider.max - self.slider.value
        self.way = 1 if room >= 10 * self.slider.step else -1

    def source(self, text):
        """Return a notebook's source for it."""
        s = self.slider
        given = {"value": s.value, "low": s.min, "high": s.max, "step": s.step}
        return text.format(name=self.name, field=self.field, **given)

    def steps(self, count):
        """Return how many steps from the start the slider is, time by time."""
        return [self.way * (10 - abs(k % 20 - 10)) for k in range(1, count + 1)]


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
