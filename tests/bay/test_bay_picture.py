"""The bay's picture shows the metal as it is: the crossmember where it is joined."""

import numpy as np
from bay_jobs import BEGIN, CODES

from workbook.bay.data import as_data, floor_data
from workbook.bay.job import do, new_job
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures.practice_bay import practice_bay_sheet
from workbook.quantities.units import METRIC


def seen(bay, view="home", **options):
    sheet = practice_bay_sheet(
        as_data(bay), floor_data(), system=METRIC, room=ROOMS["page"],
        view=VIEWS[view], **options,
    )  # fmt: skip
    return {mark.name: mark for mark in sheet.panels[0].drawing.seen}


def test_the_crossmember_is_drawn_from_rail_to_rail_and_as_bent_as_it_is():
    marks = seen(new_job(**CODES))

    beam, rails = marks["crossmember"].points, marks["rails"].points
    for end, rail in zip(beam[[0, -1]], rails, strict=True):
        assert np.linalg.norm(rail - end, axis=-1).min() < 1e-9
    along, off = beam[-1] - beam[0], beam - beam[0]
    aside = abs(along[0] * off[:, 1] - along[1] * off[:, 0]) / np.hypot(*along)
    assert aside.max() > 1e-3


def test_a_crossmember_that_was_taken_off_is_not_drawn():
    begun = do(new_job(**CODES), BEGIN)

    assert "crossmember" in seen(begun)
    assert "crossmember" not in seen(do(begun, {"act": "crossmember", "on": False}))
