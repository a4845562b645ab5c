"""Lesson 06: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("6.1", 1): (
        {"length": 24, "width": 18},
        [
            ("M02_sin_cos", 53.130),  # 90 − 36.870, in the triangle of 3, 4 and 5
            ("share_of_both", 38.571),  # 90 × 18 ÷ 42
            ("slip_radians", 0.6435),  # 36.870 × 0.017453
        ],
    ),
    ("6.2", 1): (
        {"length": 24, "width": 18, "height": 10},
        [
            # The level distance is 30; 10 ÷ 30 is the tangent of 18.435°.
            ("M02_sin_cos", 71.565),
            ("length_only", 22.620),  # arctangent of 10/24 = 0.4167
            ("M05_plain_sum", 13.392),  # arctangent of 10/42 = 0.2381
            ("sine_key", 19.471),  # arcsine of 0.3333
            ("slip_radians", 0.3218),  # 18.435 × 0.017453
        ],
    ),
    ("6.3", 1): (
        {"pull": 20, "pull_height": 650, "hold_height": 250},
        [
            ("M26_arm_from_floor", 13.0),  # 20 × 0.650
            ("M26_wrong_arm", 5.0),  # 20 × 0.250
        ],
    ),
    ("6.4", 1): (
        {"tension": 20, "off": 10},
        [
            ("M07_small_angle_harmless", 0.3038),  # 20 × (1 − 0.98481)
            ("M02_sin_cos", 19.696),  # 20 × 0.98481
            ("M04_in_step_with_angle", 2.2222),  # 20 × 10/90
            ("slip_radians", -10.880),  # sin of 10 radians is −0.5440
        ],
    ),
    ("6.5", 1): (
        {"first": 12, "between": 70, "wanted": 30},
        [
            ("share_by_angle", 9.0),  # 12 × 30/40
            ("turned_about", 15.427),  # 12 × 0.6428 ÷ 0.5
            ("M06_half_way", 12.0),
            # Of 30 and 40 radians the sines are −0.98803 and 0.74511.
            ("slip_radians", -15.912),
        ],
    ),
    ("6.6b", 1): (
        {
            "shuffle": 1,
            "light_tension": 10,
            "light_off": 22,
            "between_tension": 16,
            "between_off": 10,
            "straight_tension": 32,
            "straight_off": 6,
        },
        [
            ("M07_small_angle_harmless", 0.2431),  # 16 × (1 − 0.98481)
            ("M02_sin_cos", 15.757),
            ("M04_in_step_with_angle", 1.7778),  # 16 × 10/90
        ],
    ),
}
MADE = {
    ("6.6a", 1): {
        # Lettered c, a and b: 10 is the least pull, 6° the least angle.
        "lightest_line": ({}, "c"),
        "straightest_line": ({}, "b"),
    },
    ("6.7", 1): {
        # 12 on both sides of the line would keep it half-way.
        "M06_half_way": ({}, "C 0° 12 kN; C 70° 12 kN; C 210° 17.5 kN"),
        # 12 × 0.6428 ÷ 0.5.
        "turned_about": ({}, "C 0° 12 kN; C 70° 15.43 kN; C 210° 17.5 kN"),
        "M05_plain_sum": ({}, "C 0° 12 kN; C 70° 9.33 kN; C 210° 21.33 kN"),
        "other_side": ({}, "C 0° 12 kN; C -70° 9.33 kN; C 210° 17.5 kN"),
        "same_force_twice": (
            {},
            "C 0° 12 kN; C 70° 9.33 kN; C 210° 17.5 kN; C 2° 12 kN",
        ),
        "force_invented": (
            {},
            "C 0° 12 kN; C 70° 9.33 kN; C 210° 17.5 kN; C 140° 12 kN",
        ),
        "missing_force": ({}, "C 0° 12 kN; C 70° 9.33 kN"),
        "wrong_point": ({}, "F 0° 12 kN; C 70° 9.33 kN; C 210° 17.5 kN"),
        "chain_pushes": ({}, "C 180° 12 kN; C 70° 9.33 kN; C 210° 17.5 kN"),
        "sense_reversed": ({}, "C 0° 12 kN; C 70° 9.33 kN; C 30° 17.5 kN"),
    },
    ("6.8", 1): {
        # The pull that is right is at 36.87° to the right and rises 18.43°.
        "mirror_side": ({}, "bearing 37 deg; rise 18 deg"),
        "lowered_not_raised": ({}, "bearing -37 deg; rise -18 deg"),
        "M02_sin_cos": ({}, "bearing -53 deg; rise 18 deg"),  # 90 − 36.87
        # 10 ÷ 24 is the tangent of 22.62°.
        "length_only": ({}, "bearing -37 deg; rise 22.6 deg"),
    },
}
