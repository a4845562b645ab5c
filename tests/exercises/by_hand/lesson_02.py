"""Lesson 02: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("2.1", 1): (
        {"tension": 20, "angle": 30},
        [
            ("M01_whole_tension", 20.0),
            ("M02_sin_cos", 10.0),  # 20 × sin 30° = 20 × 0.5
            ("M04_in_step_with_angle", 13.333),  # 20 × (1 − 30/90)
            ("slip_radians", 3.085),  # cos of 30 radians is 0.1543
            ("slip_mult_div", 23.094),  # 20 ÷ 0.8660
        ],
    ),
    ("2.2", 1): (
        {"tension": 20, "rise": 30},
        [
            ("M01_whole_tension", 20.0),
            ("M02_sin_cos", 17.320),  # 20 × 0.8660
            ("M04_in_step_with_angle", 6.667),  # 20 × 30/90
            ("slip_radians", -19.761),  # sin of 30 radians is −0.9880
        ],
    ),
    ("2.3", 1): (
        {"tension": 20, "angle_from_vertical": 30},
        [
            ("M01_whole_tension", 20.0),
            ("M03_wrong_reference_line", 17.320),  # 20 × 0.8660
            ("slip_radians", -19.761),  # sin of 30 radians is −0.9880
        ],
    ),
    ("2.4", 1): (
        {"first": 3, "second": 4, "between": 60},
        [
            ("M05_plain_sum", 7.0),  # 3 + 4
            ("right_angle_rule", 5.0),  # 9 + 16 = 25
            ("cosine_rule_sign", 3.606),  # 25 − 2 × 12 × 0.5 = 13
            # cos of 60 radians is −0.9524: 25 − 24 × 0.9524 = 2.142.
            ("slip_radians", 1.4636),
        ],
    ),
    ("2.5", 1): (
        {"first": 4, "second": 3, "between": 60},
        [
            ("M06_half_way", 30.0),
            # Across 3 × 0.8660 = 2.598, along 4 + 1.5: 25.285°. From 60°: the rest.
            ("from_other_pull", 34.715),
            ("right_angle_rule", 36.870),  # the tangent is 0.75
            # Across 3 × −0.3048 = −0.9144, along 4 + 3 × −0.9524 = 1.1428: the
            # arctangent of −0.8002 is −0.6749 radians, typed as degrees.
            ("slip_radians", -0.6749),
        ],
    ),
    ("2.6", 1): (
        {"useful_pull": 10, "angle": 60},
        [
            ("M01_whole_tension", 10.0),
            ("M02_sin_cos", 11.547),  # 10 ÷ 0.8660
            ("M04_in_step_with_angle", 30.0),  # 10 ÷ (1 − 60/90)
            ("slip_mult_div", 5.0),  # 10 × 0.5
            ("slip_radians", -10.500),  # cos of 60 radians is −0.9524
        ],
    ),
}
# What can go wrong anywhere, of 20 × 0.8660 kN.
ANYWHERE = {
    "2.1": [
        ("sign", -17.320), ("factor10", 173.20), ("factor10", 1.7320),
        ("factor1000", 17320.0), ("factor1000", 0.017320),
        # 1 kN is 224.81 lbf: 3893.8 typed as kN, and 17.32 lbf are 0.07704 kN.
        ("other_units", 3893.8), ("other_units", 0.077046),
    ],
}  # fmt: skip
MADE = {
    ("2.7", 1): {
        # Two pulls of 15 at 120° make 15 at 60°, which is held at 240°.
        "M05_plain_sum": ({}, "C 0° 15 kN; C 120° 15 kN; C 240° 30 kN"),
        "right_angle_rule": ({}, "C 0° 15 kN; C 120° 15 kN; C 240° 21.2 kN"),  # √450
        # 10 + 18 × cos 120° = 1 along, 18 × 0.8660 = 15.59 across: 15.62 at 86.3°, so
        # held at 266.3° and not at 180° + 60°.
        "M06_half_way": (
            {"first": 10, "second": 18},
            "C 0° 10 kN; C 120° 18 kN; C 240° 15.6 kN",
        ),
        "other_side": ({}, "C 0° 15 kN; C -120° 15 kN; C 240° 15 kN"),
        "same_force_twice": (
            {},
            "C 0° 15 kN; C 120° 15 kN; C 240° 15 kN; C 2° 15 kN",
        ),
        "force_invented": ({}, "C 0° 15 kN; C 120° 15 kN; C 240° 15 kN; C 60° 15 kN"),
        "missing_force": ({}, "C 0° 15 kN; C 120° 15 kN"),
        "wrong_point": ({}, "F 0° 15 kN; C 120° 15 kN; C 240° 15 kN"),
        "chain_pushes": ({}, "C 180° 15 kN; C 120° 15 kN; C 240° 15 kN"),
        "sense_reversed": ({}, "C 0° 15 kN; C 120° 15 kN; C 60° 15 kN"),
    },
}
