"""Every public call of mechanics with arguments that it takes."""

import numpy as np

from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.hydraulics.supply import Rams
from workbook.mechanics.metal.bending import bend_past_yield
from workbook.mechanics.metal.sections import BoxSection, RectangularSection
from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.pull.linkage import Rig
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.survey.damage import DamageFrame, DamageSizes
from workbook.mechanics.survey.tapes import Diagonals

CORNERS = [[1, 0.75, 0.1], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0.2]]
CLAMPS = {"positions": CORNERS, "stiffness": 2e7, "ratings": 20e3}
STEEL = {"youngs_modulus": 200e9, "yield_stress": 240e6}
CHAIN = {"span": 2.0, "rise": 0.3, "weight_per_length": 21.0}
RIG = {
    "clamp": [0, 0, 0.3],
    "base": [1, 0, 0],
    "anchor": [1.5, 0, 0],
    "closed_length": 0.5,
    "extension": 0.0,
    "stroke": 0.1,
    "full_stroke": 0.2,
    "anchor_leg": 0.75,
    "swivel": 0.8,
}
LAID_OUT = {
    "clamp": [0, 0, 0.5],
    "chain_angle": 0.1,
    "clamp_distance": 1.0,
    "fork_distance": 0.5,
    "fork_offset": 0.0,
    "closed_length": 0.5,
    "extension": 0.0,
    "stroke": 0.05,
    "full_stroke": 0.2,
    "swivel": 0.8,
    "lean": 0.2,
}
FLOOR = {
    "sockets": [[1.0, 0.5, 0], [1.0, -0.5, 0]],
    "slots": [[1.6, 0.8, 0], [1.6, -0.8, 0]],
    "slot_ratings": 40e3,
    "extensions": [0.0],
    "closed_lengths": [0.45, 0.45],
    "full_strokes": 0.2,
    "swivels": np.radians(45),
    "ram_ratings": 60e3,
    "head_ratings": 70e3,
    "chain_pitches": [0.03],
    "chain_ratings": 31e3,
    "links": [24],
}
JOB = {
    "clamp": [0, 0, 0.31],
    "direction": [1, 0, 0.1],
    "useful_pull": 20e3,
    "clamp_rating": 45e3,
}
RAMS = {"areas": [1e-3, 2e-3], "resistances": [10e3, 15e3], "strokes": 0.1}
FRAME = {"hinge_x": 0.0, "front_x": 1.0, "width": 1.5}
HOOK = {"hook": [-1, 0, 0], "direction": [-1, 0, 0], "clamps": Clamps(**CLAMPS)}
SIDE = {"left": [0.2, 0.6, 0], "right": [0.2, -0.6, 0]}
SIDES = SIDE | {"specified_left": [0.2, 0.6, 0.0], "specified_right": [0.2, -0.6, 0]}

# Every public call with arguments that it takes, by module.
CALLS = {
    "holding.anchoring": {
        "share_load": {"wrench": [1e3, 0, 0, 0, 0, 0], "clamps": Clamps(**CLAMPS)},
        "bench_balance": {"loads": [([0, 0, 1], [0, 0, 0])], "about": [0, 0, 0]},
    },
    "holding.holding_pulls": {
        "pull_that_stops": {"wrench": [1e3, 0, 0, 0, 0, 0], **HOOK},
        "pull_that_steadies": {
            "wrench": [1e3, 0, 0, 0, 0, 0],
            "point": [0.5, 0, 0],
            **HOOK,
        },
        "pull_that_balances_moment": {
            "wrench": [0, 0, 0, 0, 0, 9e3],
            "hook": [0, -1, 0],
            "direction": [-1, 0, 0],
            "point": [0, 0, 0],
            "axis": [0, 0, 1],
        },
        "pull_that_relieves": {
            "wrench": [1e3, 0, 0, 0, 0, 0],
            "chain_limit": 5e3,
            **HOOK,
        },
        "hold_downs": {
            "push": [0, 0, 2e3],
            "at": [0, 0, 0],
            "first": [1, 0, 0],
            "second": [-1, 0, 0],
            "tolerance": 1e-3,
        },
    },
    "holding.levers": {
        "hold_lever": {
            "force": [0, -1e4],
            "at": [1.0, 0],
            "hook": [-1.0, 0],
            "direction": [0, -1],
            "turning_point": [0, 0],
        }
    },
    "holding.stiffness_centre": {
        "stiffness_centre": {"clamps": Clamps(**CLAMPS), "normal": [0, 0, 1]},
    },
    "holding.supports": {
        "Clamps": {**CLAMPS, "axes": np.eye(3), "turning_stiffness": 0.0},
        "Stands": {"positions": CORNERS, "stiffness": 1e6, "normals": [0, 0, 1]},
    },
    "holding.wrenches": {
        "net_wrench": {"forces": CORNERS, "points": CORNERS, "about": [0, 0, 0]},
        "moved_wrench": {"wrench": np.ones(6), "to_point": [1, 0, 0]},
        "moment_about_line": {
            "wrench": np.ones(6),
            "point": [1, 0, 0],
            "direction": [1, 0, 0],
        },
        "components": {"value": [0, 0, 5], "name": "hook"},
        "one_vector": {"value": [0, 0, 5], "name": "hook"},
        "direction_of": {"direction": [0, 0, 5], "name": "pull"},
        "central_axis": {"wrench": [0, 0, 10, 0, -20, 5], "about": [0, 0, 0]},
        "line_of_action": {"wrench": [0, 0, 10, 0, -20, 0], "about": [0, 0, 0]},
    },
    "hydraulics.pressure": {
        "piston_area": {"bore": 0.04, "rod": 0.01},
        "bore_from_area": {"piston_area": 1e-3},
        "force_from_pressure": {"pressure": 2e7, "piston_area": 1e-3},
        "pressure_from_force": {"ram_force": 2e4, "piston_area": 1e-3},
        "pump_ratio": {"air_area": 1e-2, "oil_area": 1e-3},
        "oil_pressure": {"air_pressure": 6e5, "pump_ratio": 10},
        "air_pressure": {"oil_pressure": 6e6, "pump_ratio": 10},
        "stroke_from_volume": {"volume": 1e-4, "piston_area": 1e-3},
    },
    "hydraulics.supply": {
        "Rams": RAMS,
        "greatest_forces": {"supply_pressure": 2e7, "rams": Rams(**RAMS)},
        "order_of_movement": {"rams": Rams(**RAMS), "supply_pressure": 2e7},
        "extend_rams": {"rams": Rams(**RAMS), "flow": 2e-5, "supply_pressure": 2e7},
        "first_limit": {
            "factors": [[1.0, 1.1]],
            "ratings": [4e4, 5e4],
            "areas": [1e-3],
        },
    },
    "metal.rail_parts": {
        "uniform_rail": {
            "root": [0, 0, 0],
            "along": [1, 0, 0],
            "length": 1.0,
            "links": 4,
            "upright": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "sideways": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "hardening_ratio": 0.01,
            **STEEL,
        },
        "uniform_crossmember": {
            "ends": ((0, 4), (1, 4)),
            "length": 1.0,
            "links": 4,
            "upright": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "sideways": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "torsion_constant": 4e-7,
            "shear_modulus": 81e9,
            "hardening_ratio": 0.01,
            **STEEL,
        },
    },
    "metal.edges": {
        "tear_out": {
            "edge_distance": 0.025,
            "thickness": 1.2e-3,
            "shear_strength": 220e6,
        },
    },
    "metal.bending": {
        "bend_past_yield": {
            "section": RectangularSection(width=0.05, depth=0.12),
            "moment": 36.8e3,
            **STEEL,
        },
        "stress_across": {
            "bent": bend_past_yield(
                RectangularSection(width=0.05, depth=0.12), moment=36.8e3, **STEEL
            ),
            "height": [0.01, 0.02],
            **STEEL,
        },
        "springback_ratio": {"bend_radius": 0.01, "thickness": 1e-3, **STEEL},
    },
    "metal.sections": {
        "RectangularSection": {"width": 0.05, "depth": 0.12},
        "BoxSection": {"width": 0.06, "depth": 0.06, "thickness": 0.002},
        "ThinBoxSection": {"width": 0.06, "depth": 0.06, "thickness": 0.002},
        "ISection": {
            "width": 0.1,
            "depth": 0.12,
            "flange_thickness": 0.01,
            "web_thickness": 0.006,
        },
    },
    "planner.candidates": {"Job": JOB, "ShopFloor": FLOOR},
    "planner.keep_out": {"boxes": {"corners": [[[0, 0, 0], [1, 1, 1]]]}},
    "planner.one_ram": {
        "Steps": {"direction": 0.01, "share": 0.01, "stroke": 0.01},
    },
    "planner.two_rams": {
        "plan_two_rams": {
            "job": Job(**JOB),
            "floor": ShopFloor(**FLOOR),
            "second_clamp": [0, 0.1, 0.3],
            "keep": 5,
            "cross_step": 0.01,
            "share_step": 0.01,
        },
    },
    "pull.catenary": {
        "from_horizontal_tension": {"horizontal_tension": 500.0, **CHAIN},
        "supports": CHAIN,
    },
    "pull.linkage": {
        "Rig": RIG,
        "solve_pulls": {"rig": Rig(**RIG), "ram_force": 1e4},
        "solve_pull": {"rig": Rig(**RIG), "ram_force": 1e4},
    },
    "pull.parabola": {
        "parabola_from_sag": {
            "sag": 0.1,
            "span": 2.0,
            "rise": 0.1,
            "weight_per_span": 21.0,
        },
        "parabola_from_low_point": {
            "span": 2.0,
            "below_near": 0.1,
            "below_far": 0.2,
            "weight_per_span": 21.0,
        },
        "parabola_sag": {"tension": 500.0, "span": 2.0, "weight_per_length": 21.0},
        "parabola_tension": {"sag": 0.1, "span": 2.0, "weight_per_length": 21.0},
        "parabola_slack": {"sag": 0.1, "span": 2.0},
        "parabola_sag_from_slack": {"slack": 0.01, "span": 2.0},
    },
    "pull.rigging": {
        "redirect": {"chain_tension": 1e4, "run_a": [1, 0, 0], "run_b": [0, 1, 0]},
        "bridle": {"pull": 1e4, "angle_left": 0.5, "angle_right": 0.4},
        "bridle_in_space": {
            "pull": [1e4, 0, 0],
            "ring": [1, 0, 0],
            "clamps": [[0, 0.4, 0], [0, -0.4, 0]],
        },
    },
    "pull.setting_out": {"lay_out": LAID_OUT},
    "pull.stored_energy": {
        "stretch": {"tension": 1e4, "length": 2.0, "axial_stiffness": 1e7},
        "stored_energy": {"tension": 1e4, "length": 2.0, "axial_stiffness": 1e7},
        "stored_energy_of_pull": {"tension": 1e4, "stiffness": 1e6},
    },
    "pull.stroke": {
        "stroke_path": {"rig": lay_out(**LAID_OUT), "ram_force": 1e4, "points": 5},
    },
    "pull.tension_length_sag": {
        "from_tension": {"tension": 500.0, **CHAIN},
        "least_tension": CHAIN,
        "from_length": {"length": 2.1, **CHAIN},
        "from_length_and_sag": {"length": 2.1, "sag": 0.2, "weight_per_length": 21.0},
        "from_slack": {"slack": 0.05, **CHAIN},
        "from_sag": {"sag": 0.1, **CHAIN},
    },
    "pull.wanted_force": {
        "ram_force_for_tension": {"rig": Rig(**RIG), "pull_tension": 1e4},
        "ram_force_for_useful_pull": {
            "rig": Rig(**RIG),
            "useful_pull": 1e4,
            "line": [1, 0, 0],
        },
    },
    "safety.cable": {
        "run_out": {
            "part": [0, 0, 0.5],
            "way": [1, 0, 0],
            "ties": [[0, 0.3, 0.5], [0, -0.3, 0.5]],
            "length": 1.0,
        },
        "left_past_edge": {"tie": [0, 0, 0], "edge": [0.3, 0, 0], "length": 1.0},
    },
    "safety.line_of_fire": {
        "pairs": {"value": [1, 2], "name": "person"},
        "angle_off_line": {"people": [2, 1], "apex": [0, 0], "towards": [1, 0]},
        "in_wedge": {
            "people": [2, 1],
            "apex": [0, 0],
            "towards": [1, 0],
            "half_angle": 0.5,
        },
        "in_line_of_fire": {
            "people": [[2, 1]],
            "ends": [[[0, 0], [1, 0]]],
            "half_angle": 0.5,
        },
    },
    "survey.damage": {
        "DamageFrame": FRAME,
        "damage_basis": {"positions": CORNERS, "frame": DamageFrame(**FRAME)},
        "damage_field": {
            "positions": CORNERS,
            "sizes": DamageSizes(mash=0.01),
            "frame": DamageFrame(**FRAME),
        },
        "read_damage": {
            "positions": CORNERS,
            "differences": np.full((4, 3), 0.01),
            "frame": DamageFrame(**FRAME),
            "weights": np.ones((4, 3)),
            "kinds": ["mash"],
        },
        "twist_angle": {
            "front_difference": 0.02,
            "rear_difference": 0.01,
            "width": 1.2,
        },
    },
    "survey.disagreement": {
        "find_disagreement": {
            "measured": [*CORNERS, [0.3, 0.2, 0.5]],
            "specified": [*CORNERS, [0.3, 0.2, 0.5]],
            "agreement": 0.01,
        },
    },
    "survey.registration": {
        "register": {
            "measured": CORNERS,
            "specified": CORNERS,
            "datum_points": [0, 1, 2, 3],
            "weights": np.ones(4),
        },
        "fit_error_at": {
            "points": [[0, 0, 0]],
            "datum_points": CORNERS,
            "scatter": 1e-3,
            "weights": np.ones(4),
        },
    },
    "survey.panels": {
        "corner_hit": {
            "stations": 5,
            "passed_on": 0.5,
            "depth": 0.03,
            "came_from": 0.2,
            "front": True,
            "left": True,
        },
        "carried": {
            "points": [[2.0, 0.0]],
            "fixed": [0.0, 0.0],
            "led": [1.0, 0.0],
            "moved": [[0.0, 0.0], [0.5, 0.001]],
        },
    },
    "survey.neighbours": {
        "neighbour_steps": {"differences": [0.001, 0.002, 0.001]},
        "off_neighbours": {"differences": [0.001, 0.002, 0.001]},
        "read_under_load": {"reading": 0.001, "load": 8e3, "stiffness": 2e6},
    },
    "survey.what_is_left": {
        "share_done": {"start": [0.024, 0.018, 0.01], "left": [0.01, 0.006, 0.007]},
        "grew": {"before": 0.001, "after": 0.002},
        "next_force": {"last": 18e3, "lacks": 0.006, "rate": 1.5e-6},
    },
    "survey.tapes": {
        "length_along_datum": {"tape_length": 2.0, "rise": 0.2},
        "middle_off_centre": {"left": 0.5, "right": 0.48},
        "diagonals_of_points": {
            "left_front": [1, 0.5, 0],
            "right_front": [1, -0.5, 0],
            "left_rear": [0, 0.5, 0],
            "right_rear": [0, -0.5, 0],
        },
        "diagonals_of_skew": {"skew": 0.01, "length": 1.5, "width": 1.0},
        "skew_of_diagonals": {
            "diagonals": Diagonals(from_left_front=1.81, from_right_front=1.79),
            "length": 1.5,
        },
        "left_right_difference": SIDES,
    },
    "survey.tilt": {
        "tilt_of_points": {"points": CORNERS},
        "read_with_tilt": {"points": CORNERS, "nose_up": 0.01},
        "height_without_tilt": {"height": 0.3, "x": 1.0, "nose_up": 0.01},
    },
}
