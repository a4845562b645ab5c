"""Lesson 14: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("14.1", 1): (
        {"pull": 18, "arm": 900, "hold_arm": 1500},
        [
            ("M27_equal_hold", 18.0),
            ("M27_arms_swapped", 30.0),  # 18 × 1500 ÷ 900
        ],
    ),
    ("14.2", 1): (
        {"tension": 15, "between": 100},
        [
            ("M16_one_chain", 15.0),
            ("M16_two_chains", 30.0),
            ("full_angle", 5.2094),  # 30 × 0.17365, the sign left out
            ("sine_key", 22.981),  # 30 × 0.76604
            ("slip_radians", 28.949),  # cos of 50 radians is 0.96497
        ],
    ),
    ("14.3", 1): (
        {"tension": 20, "rise": 30, "weight": 4},
        [
            ("weight_forgotten", 10.0),
            ("M02_sin_cos", 13.3205),  # 20 × 0.86603 − 4
            ("M01_whole_tension", 16.0),
            ("slip_radians", -23.761),  # sin of 30 radians is −0.98803
        ],
    ),
    ("14.4", 1): (
        {"push": 20, "near_by": 900, "far_off": 1500},
        [
            ("half_each", 10.0),
            ("slip_swapped", 7.5),  # 20 × 900 ÷ 2400
        ],
    ),
    ("14.5b", 1): (
        {
            "shuffle": 1,
            "pull": 20,
            "arm": 750,
            "close": 600,
            "square": 1500,
            "leaning": 2000,
            "lean": 30,
            "soft": 2400,
        },
        [
            ("M27_equal_hold", 20.0),
            ("M27_arms_swapped", 40.0),  # 20 × 1500 ÷ 750
        ],
    ),
}
MADE = {
    ("14.5a", 1): {
        # a 2000 at 30°, b 1500, c 600, d 2400 on bent metal.
        "nearest_hold": ({}, "c"),
        "furthest_hold": ({}, "a"),
        "hold_on_bent_metal": ({}, "d"),
    },
}
