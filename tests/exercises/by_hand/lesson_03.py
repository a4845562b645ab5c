"""Lesson 03: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("3.1", 1): (
        {"pull": 24, "offset": 400, "width": 1500},
        [
            ("M25_even_share", 6.0),
            ("light_side_given", 2.8),  # 6.0 − 3.2
            ("side_total", 18.4),  # 12 + 24 × 400/1500
            ("whole_width_missed", 12.4),  # 6.0 + 6.4
            ("extra_over_four", 7.6),  # 6.0 + 1.6
        ],
    ),
    ("3.2", 1): (
        {"pull": 24, "offset": 400, "width": 1500},
        [
            ("M26_no_arm", 24.0),
            ("M26_width_as_arm", 36.0),  # 24 × 1.5
            ("M26_half_width_as_arm", 18.0),  # 24 × 0.75
            ("arm_in_millimetres", 9600.0),  # 24 × 400
        ],
    ),
    ("3.3", 1): (
        {"tension": 20, "rise": 30, "ahead": 800, "spacing": 2000},
        [
            ("no_lever", 10.0),
            ("rear_pair_given", 4.0),  # 10 × 800/2000
            ("M01_whole_tension", 28.0),  # 20 × 2800/2000
            ("M02_sin_cos", 24.249),  # 20 × 0.86603 × 1.4
            ("slip_radians", -27.665),  # sin of 30 radians is −0.98803
        ],
    ),
    ("3.4", 1): (
        {"tension": 20, "rise": 30},
        [
            ("M01_whole_tension", 20.0),
            ("M02_sin_cos", 10.0),
            ("counted_twice", 34.641),  # 2 × 17.3205
            ("slip_radians", 3.0850),  # cos of 30 radians is 0.15425
        ],
    ),
    ("3.5b", 1): (
        {
            "shuffle": 1,
            "pull": 24,
            "many_width": 800,
            "many_offset": 600,
            "wide_width": 1600,
            "wide_offset": 600,
            "near_width": 600,
            "near_offset": 180,
            "between_width": 1500,
            "between_offset": 240,
        },
        [
            ("M25_even_share", 6.0),
            ("light_side_given", 4.08),  # 6 − 24 × 240/3000
            ("side_total", 15.84),  # 12 + 24 × 240/1500
            ("extra_over_four", 6.96),  # 6 + 24 × 240/6000
        ],
    ),
}
MADE = {
    ("3.5a", 1): {
        # Peaks of 24 kN: six clamps 10.0, the widest 10.5, the nearest 9.6, and 7.92.
        "most_clamps": ({}, "c"),
        "widest_layout": ({}, "b"),
        "nearest_line": ({}, "a"),
    },
    ("3.6", 1): {
        # 24/2 = 12 each; 24 × 300/1500 = 4.8 more on the left and less on the right.
        "M25_even_share": ({}, "H 0° 24 kN; L 180° 12 kN; R 180° 12 kN"),
        "light_side_given": ({}, "H 0° 24 kN; L 180° 7.2 kN; R 180° 16.8 kN"),
        "one_clamp_given": ({}, "H 0° 24 kN; L 180° 8.4 kN; R 180° 3.6 kN"),
        "same_force_twice": (
            {},
            "H 0° 24 kN; L 180° 16.8 kN; R 180° 7.2 kN; L 178° 16.8 kN",
        ),
        "force_invented": (
            {},
            "H 0° 24 kN; L 180° 16.8 kN; R 180° 7.2 kN; H 90° 10 kN",
        ),
        "missing_force": ({}, "H 0° 24 kN; L 180° 16.8 kN"),
        "wrong_point": ({}, "L 0° 24 kN; L 180° 16.8 kN; R 180° 7.2 kN"),
        "chain_pushes": ({}, "H 180° 24 kN; L 180° 16.8 kN; R 180° 7.2 kN"),
        "sense_reversed": ({}, "H 0° 24 kN; L 0° 16.8 kN; R 180° 7.2 kN"),
    },
}
