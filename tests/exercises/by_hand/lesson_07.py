"""Lesson 07: what each mistake gives, worked out by hand."""

LEGS = {"ram_force": 40, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20}
HEIGHTS = {"head_height": 1000, "clamp_height": 400, "distance": 1200}

BY_HAND = {
    ("7.1", 1): (
        {"head_height": 1000, "clamp_height": 400, "distance": 800},
        [
            ("clamp_height_forgotten", 51.340),  # arctangent of 1000/800 = 1.25
            ("M02_sin_cos", 53.130),  # 90 − 36.870
            ("sine_key", 48.590),  # arcsine of 0.75
            ("slip_radians", 0.6435),  # 36.870 × 0.017453
        ],
    ),
    ("7.2", 1): (
        LEGS,
        [
            ("M10_equal_legs", 37.224),  # 40 ÷ (2 × sin 32.5°) = 40 ÷ 1.0746
            ("M11_ram_half", 20.0),
            ("M12_gauge_is_chain", 40.0),
            ("anchor_leg_given", 25.315),  # 40 × sin 35° ÷ sin 65° = 22.943 ÷ 0.9063
            ("slip_swapped", 42.631),  # 40 × sin 75° ÷ sin 65° = 38.637 ÷ 0.9063
            # Of 100 and 65 radians the sines are −0.5064 and 0.8268.
            ("slip_radians", -24.497),
        ],
    ),
    ("7.3", 1): (
        LEGS,
        [
            ("M10_equal_legs", 37.224),
            ("pull_leg_given", 43.464),  # 40 × sin 100° ÷ sin 65° = 39.392 ÷ 0.9063
            ("M11_ram_half", 20.0),
            ("M13_legs_add_up", -3.464),  # 40 − 43.464
            ("M12_gauge_is_chain", 40.0),
            # Of 35 and 65 radians the sines are −0.4282 and 0.8268.
            ("slip_radians", -20.714),
        ],
    ),
    ("7.4", 1): (
        {"anchor_angle": 45, "pull_angle": 20},
        [
            ("upright", 90.0),
            ("half_the_sum", 32.5),  # 65 ÷ 2
            ("slip_sign", 102.5),  # 90 + 25 ÷ 2
            ("half_forgotten", 65.0),  # 90 − 25
        ],
    ),
    ("7.5", 1): (
        {"stroke": 50, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
        [
            ("M17_gain_is_free", 50.0),
            ("ratio_upside_down", 54.330),  # 50 × 0.9848 ÷ 0.9063
            # Of 65 and 100 radians the sines are 0.8268 and −0.5064.
            ("slip_radians", -81.643),
        ],
    ),
    ("7.6a", 1): (
        {**HEIGHTS, "extension": 300, "tension": 20},
        [
            ("extension_forgotten", 26.565),  # arctangent of 600/1200 = 0.5
            ("clamp_height_forgotten", 47.291),  # arctangent of 1300/1200 = 1.0833
            ("M02_sin_cos", 53.130),  # 900 up, 1200 along: 90 − 36.870
            ("sine_key", 48.590),  # arcsine of 900/1200 = 0.75
            ("slip_radians", 0.6435),  # 36.870 × 0.017453
        ],
    ),
    ("7.6b", 1): (
        {**HEIGHTS, "extension": 300, "tension": 20},
        [
            ("M01_whole_tension", 20.0),
            ("M02_sin_cos", 12.008),  # 20 × sin 36.9° = 20 × 0.6004
            # The leg was the root of 1200² + 600² = 1341.6 and is 1500 long:
            # 20 × 0.7997 × 1.1180.
            ("M09_longer_pulls_harder", 17.882),
            # Before, 1200/1341.6 = 0.8944 ran forward; 1300 is 1.3 times as high.
            ("higher_is_stronger", 23.255),
            # 36.9 radians are 0.7991 short of six turns, and cos 0.7991 is 0.6973.
            ("slip_radians", 13.947),
        ],
    ),
}
# What can go wrong anywhere, of 90 − 25/2 degrees.
ANYWHERE = {
    "7.4": [
        ("sign", -77.5), ("factor10", 775.0), ("factor10", 7.75),
        # 77.5 × 0.0174533, and 77.5 × 57.2958.
        ("radians", 1.35263), ("radians", 4440.4),
    ],
}  # fmt: skip
MADE = {
    ("7.7", 1): {
        # The head 450 + 400 = 850 up, 400 above the clamp: 21.8°, where it was 16.7°.
        "raised_not_lowered": ({}, "extension 400 mm"),
        # 650 up, 200 above the clamp: 11.3°, where 24° are wanted.
        "lowered_not_raised": ({"rise": 24}, "extension 200 mm"),
        # From 600 up to 668: 668 ÷ 1500 is the tangent of 24°, but 218 ÷ 1500 of 8.3°.
        "clamp_height_forgotten": (
            {"rise": 24, "extension": 150},
            "clamp_distance 1500 mm; extension 218 mm",
        ),
        # Upright, 287 ÷ 1000 were the tangent of 16°. Leaning 20°, the head is
        # 737 × 0.9397 = 692.6 up and 737 × 0.3420 = 252 out: 242.6 ÷ 1252, 11.0°.
        "lean_forgotten": (
            {"rise": 16, "extension": 150, "lean": 20},
            "extension 287 mm",
        ),
        # The rise is right. By the rule of sines at the head the anchor leg carries
        # 28 × sin 80.1° ÷ sin 44.7° = 39.2 kN, and its chain is rated 31.5.
        "past_the_margin": ({"ram_force": 28, "margin": 70}, "extension 175 mm"),
        # The base of the ram swivels to 45°.
        "does_not_stand": ({}, "lean 60 deg"),
        # 450 + 75 + 100 = 625 up as well, but of 200 only 100 are left, not 120.
        "short_of_stroke": ({}, "extension 75 mm; stroke 100 mm"),
    },
    ("7.8", 1): {
        # 90 − 55 = 35; the legs at 200° and 315° carry 43.46 and 25.32 (7.2 and 7.3).
        "M03_wrong_reference_line": (
            {},
            "H 35° 40 kN; H 200° 43.5 kN; H 315° 25.3 kN",
        ),
        "straight_up": ({}, "H 90° 40 kN; H 200° 43.5 kN; H 315° 25.3 kN"),
        "M10_equal_legs": ({}, "H 55° 40 kN; H 200° 37.2 kN; H 315° 37.2 kN"),
        "M11_ram_half": ({}, "H 55° 40 kN; H 200° 20 kN; H 315° 20 kN"),
        # With the ram at 88° and legs of 40° and 25° the pull leg carries
        # 40 × sin 128° ÷ sin 65° = 40 × 0.7880 ÷ 0.9063 = 34.78.
        "M12_gauge_is_chain": (
            {"ram_angle": 88, "anchor_angle": 40, "pull_angle": 25},
            "H 88° 40 kN; H 205° 40 kN; H 320° 39.3 kN",
        ),
        # There the anchor leg is 40 × sin 63° ÷ sin 65° = 39.32, and 40 − 34.78 = 5.22.
        "M13_legs_add_up": (
            {"ram_angle": 88, "anchor_angle": 40, "pull_angle": 25},
            "H 88° 40 kN; H 205° 34.8 kN; H 320° 5.22 kN",
        ),
        "same_force_twice": (
            {},
            "H 55° 40 kN; H 200° 43.5 kN; H 315° 25.3 kN; H 57° 20 kN",
        ),
        "force_invented": (
            {},
            "H 55° 40 kN; H 200° 43.5 kN; H 315° 25.3 kN; H 100° 9 kN",
        ),
        "missing_force": ({}, "H 55° 40 kN; H 200° 43.5 kN"),
        "wrong_point": ({}, "H 55° 40 kN; C 200° 43.5 kN; H 315° 25.3 kN"),
        "chain_pushes": ({}, "H 55° 40 kN; H 20° 43.5 kN; H 315° 25.3 kN"),
        "sense_reversed": ({}, "H 235° 40 kN; H 200° 43.5 kN; H 315° 25.3 kN"),
    },
}
