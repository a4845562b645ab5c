"""Laws of the bay: whatever is done, it balances, and done again it is the same."""

import json
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from bay_jobs import AHEAD, CODES, SIDE, anchored, every_state, pumped, ready

from workbook.bay.data import as_data
from workbook.bay.floor import above_bench, above_datum, bay_floor
from workbook.bay.holding import bay_loads
from workbook.bay.job import do, new_job, replay
from workbook.bay.setting_out import where_head_is
from workbook.cli import main
from workbook.errors import OutOfRangeError
from workbook.mechanics.metal import front
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_balance import look, tie_force
from workbook.scenes.chains import CHAIN_GRADES
from workbook.scenes.set_up_files import to_toml
from workbook.scenes.setups import Setup


def all_of(bay):
    """Return everything that is shown of a bay, to the last digit."""
    return json.dumps(as_data(bay))


def test_all_forces_on_the_bench_close_in_every_state(states):
    held = [bay for bay in states if len(bay.stations) == 4]
    loaded = [bay for bay in held if bay.loaded]

    left_over = [np.abs(bay_loads(bay).bench_left_over).max() for bay in held]
    pulls = [np.abs(bay_loads(bay).forces).max() for bay in loaded]

    assert len(loaded) >= 6
    assert min(pulls) > 3e3
    assert max(left_over) < 1e-8


def test_work_on_a_small_movement_of_the_metal_is_that_of_the_oil(states):
    """Of every loaded state: hinges and ties take what rams and holds give.

    The metal's hinges are moved a little, each in turn; the rams come out by what
    keeps their chains taut, which the linkage says and the rails know nothing of.
    """
    loaded = [bay for bay in states if bay.loaded]
    for bay in loaded:
        inner, outer = virtual_works(bay)
        assert np.abs(outer).max() > 1.0
        assert outer == pytest.approx(inner, abs=1e-4 * np.abs(inner).max())


def virtual_works(bay, size=1e-6):
    """Return work for a small movement of each hinge: what the metal takes, by oil."""
    metal, taken, given = bay.metal.metal, [], []
    whole = replace(bay.front_end, pulls={}, springs=bay.metal.holds)
    rails = arrange(whole)
    force = tie_force(rails, metal)
    none = np.zeros(0)
    bare = replace(metal, tension=none, travel=none, locked=none, slack=none)
    for hinge in np.ndindex(metal.deformation.shape):
        ends = []
        for way in (-size, size):
            moved = metal.deformation.copy()
            moved[hinge] += way
            ends.append(look(rails, bare, metal.controls, moved))
        ties = -float(np.sum(force * (ends[1].gap - ends[0].gap)))
        taken.append(2 * size * metal.load[hinge] + ties)
        given.append(oil_work(bay, [end.placed.nodes for end in ends]))
    return np.array(taken) / size, np.array(given) / size


def oil_work(bay, ends):
    """Return what rams push out and holding chains draw in, by the linkage."""
    work, nodes = 0.0, bay_floor().places
    for ram in bay.rams.values():
        if ram.force > 0:
            at = [above_bench(end[nodes[ram.place]]) for end in ends]
            strokes = [where_head_is(ram, clamp)[0] for clamp in at]
            work += ram.force * (strokes[1] - strokes[0])
    for hold in bay.holds.values():
        if hold.tension > 0:
            post = above_datum(bay_floor().posts[hold.post])
            ways = [np.linalg.norm(post - end[nodes[hold.place]]) for end in ends]
            work += hold.tension * (ways[0] - ways[1])
    return work


def test_the_rails_called_directly_move_as_in_the_bay(states):
    """Of every act that pulled: the rail's own act with the heads where they ended."""
    compared = 0
    for before, after in pairwise(states):
        forces = {name: ram for name, ram in after.rams.items() if ram.force > 0}
        first = not before.loaded and len(forces) == 2
        if not first:
            continue
        pulls = {
            name: PullOn(
                clamp=ram.place,
                head=above_datum(ram.pull(after.places[ram.place]).head),
                tension=float(ram.pull(after.places[ram.place]).pull_tension),
            )
            for name, ram in forces.items()
        }
        (hold,) = after.holds.values()
        post = above_datum(bay_floor().posts[hold.post])
        pulls["H"] = PullOn(clamp=hold.place, head=post, stroke=0.0)

        alone = front.load(after.front_end, before.metal, pulls)

        compared += 1
        assert alone.state.metal.nodes == pytest.approx(
            after.metal.metal.nodes, abs=2e-7
        )
        assert alone.state.tension["H"] == pytest.approx(hold.tension, rel=1e-5)
    assert compared == 1


def test_the_bench_report_of_the_same_pulls_says_the_same(states, tmp_path, capsys):
    """`pullwright bench` on set-up files of the rams, as they stand under load."""
    car = states[0].car
    acts = [act for act in anchored(car) if act["act"] != "tie"]
    bay = every_state([*acts, *ready(AHEAD, SIDE), *pumped(1.0)])[-1]
    files = []
    for name, ram in bay.rams.items():
        file = tmp_path / f"{name}.toml"
        file.write_text(to_toml(as_setup(bay, ram)), "utf-8")
        files.append(str(file))

    assert main(["bench", *files, "--clamps", "kestrin", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)

    loads = bay_loads(bay)
    # A set-up file keeps a tenth of a millimetre and a hundredth of a kilonewton.
    for row, force in zip(said["pulls"], loads.forces, strict=True):
        assert row["force_N"] == pytest.approx(force.tolist(), abs=25)
    for row, name, force in zip(
        said["supports"],
        loads.support_names,
        np.concatenate([loads.held.clamp_forces, loads.held.stand_forces]),
        strict=True,
    ):
        assert row["name"] == name
        assert row["force_on_body_N"] == pytest.approx(force.tolist(), abs=40)
    for row, ram in zip(said["pulls"], bay.rams.values(), strict=True):
        path = ram.load_path(bay.places[ram.place])
        assert row["governing"] == path.governing
        assert row["share_1"] == pytest.approx(float(path.largest_share), rel=3e-3)


def as_setup(bay, ram):
    """Return a ram as a set-up file has it, where it stands now."""
    clamp, mm = bay.places[ram.place], 1000
    out, on = ram.rig.base - clamp, ram.rig.anchor - ram.rig.base
    angle = np.arctan2(out[1], out[0])
    along = np.array([np.cos(angle), np.sin(angle)])
    left = np.array([-along[1], along[0]])
    grade, size = next(
        (label, ram.leg.size.split(" (")[0])
        for label, (standard, name) in CHAIN_GRADES.items()
        if (standard, name) == (ram.leg.standard, ram.leg.grade)
    )
    return Setup(
        values={
            "chain_angle_deg": float(np.degrees(angle)),
            "clamp_distance_mm": mm * float(out[:2] @ along),
            "fork_distance_mm": mm * float(on[:2] @ along),
            "fork_offset_mm": mm * float(on[:2] @ left),
            "clamp_forward_mm": mm * float(clamp[0]),
            "clamp_left_mm": mm * float(clamp[1]),
            "clamp_height_mm": mm * float(clamp[2]),
            "extension_mm": mm * float(ram.rig.extension),
            "stroke_mm": mm * ram.stroke,
            "ram_force_kn": ram.force / 1000,
            "ram": ram.part,
            "head": ram.head,
            "clamp": ram.clamp,
            "fork": bay_floor().forks[ram.fork].name,
            "chain_grade": grade,
            "chain_size": size,
        },
        anchor_leg_mm=mm * float(ram.rig.anchor_leg),
    )


def test_a_log_done_again_is_the_same_to_the_last_bit(job, states):
    again = replay(json.loads(json.dumps(job)), **CODES)

    assert all_of(again) == all_of(states[-1])
    assert np.array_equal(again.metal.metal.back_load, states[-1].metal.metal.back_load)
    for bay, act, after in zip(states, job, states[1:], strict=False):
        shown = all_of(bay)
        do(bay, act)
        assert all_of(bay) == shown, act  # the state before stays as it was
        assert after.count == bay.count + 1


def test_undo_takes_back_paper_and_never_metal(job, states):
    taken_back = set()
    for bay, act, after in zip(states, job, states[1:], strict=False):
        if after.before is None:
            with pytest.raises(OutOfRangeError, match="nothing to take back"):
                do(after, {"act": "undo"})
            continue
        back = do(after, {"act": "undo"})
        taken_back.add(act["act"])
        assert back.count == bay.count + 2
        assert all_of(replace(back, count=bay.count)) == all_of(bay)
        assert np.array_equal(back.metal.metal.plastic, after.metal.metal.plastic)
    assert taken_back >= {"set_out", "clamp", "cable"}
    assert not taken_back & {"pump", "release", "relieve", "survey", "valve"}


def test_the_pumps_oil_is_that_of_the_strokes(states):
    """What the supply says each ram takes: area times stroke, all at the same time."""
    pumped_twice = [bay for bay in states if len(bay.oil) == 2]
    for bay in pumped_twice:
        volume = {
            name: float(bay.rams[name].ram.area) * part.stroke
            for name, part in bay.oil.items()
        }
        for name, part in bay.oil.items():
            assert part.share == pytest.approx(volume[name] / sum(volume.values()))
        assert bay.seconds * 0.8e-3 / 60 == pytest.approx(
            sum(volume.values()), rel=1e-6
        )
    assert len(pumped_twice) >= 2


def test_a_smaller_step_of_the_pump_comes_to_the_same_elastic_state(states, car):
    """Below yield the way does not matter, and rams of one line have one pressure."""
    begun = every_state([*anchored(car), *ready(AHEAD, SIDE)])[-1]
    at_once, by_steps = begun, begun
    for act in pumped(0.4):
        at_once = do(at_once, act)
    for act in pumped(0.1, 0.2, 0.1):
        by_steps = do(by_steps, act)

    assert by_steps.metal.metal.nodes == pytest.approx(
        at_once.metal.metal.nodes, abs=1e-8
    )
    for bay in (at_once, by_steps):
        pressures = [ram.force / float(ram.ram.area) for ram in bay.rams.values()]
        assert pressures == pytest.approx([bay.pressure] * 2, rel=1e-6)


def test_a_student_has_a_car_of_their_own_and_the_same_again():
    one, same, other = (
        new_job(class_key=key, student=code).car
        for key, code in (("oak", "K7"), (" OAK ", "k7"), ("oak", "K8"))
    )

    assert one is same
    assert np.abs(one.tip_difference - other.tip_difference).max() > 1e-3


def test_what_loads_the_body_is_what_the_metal_feels(job, states):
    """Rams, holding chains and stands, by the bay's loads and by the rail's own."""
    seen = set()
    for act, bay in zip(job, states[1:], strict=True):
        if act["act"] != "pump":
            continue
        loads, steps = bay_loads(bay), bay.steps
        felt = {**steps.pull_force, **steps.hold_force}
        for name, force in zip(loads.names, loads.forces, strict=True):
            seen.add(name)
            assert force == pytest.approx(felt[name][-1], abs=1e-4 * 20e3), name
    assert seen == {"A", "B", "H", "left stand"}
