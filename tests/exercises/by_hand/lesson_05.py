"""Lesson 05: what each mistake gives, worked out by hand."""

AHEAD = ("lf_ahead", "rf_ahead", "lr_ahead", "rr_ahead")

BY_HAND = {
    ("5.1", 1): (
        {"length": 1400, "width": 1100, "skew": 12},
        [("M28_skew_itself", 12.0), ("M28_twice_the_skew", 24.0)],
    ),
    ("5.2", 1): (
        {"length": 1400, "width": 1100, "skew": 12, "long": 1790, "short": 1771},
        [("M28_difference_itself", 19.0), ("half_the_difference", 9.5)],  # 1790 − 1771
    ),
    ("5.4", 1): (
        {"front": 18, "rear": -4, "width": 1200},
        [
            ("front_only", 0.8594),  # arctangent of 18/1200 = 0.015
            ("rear_added", 0.6684),  # arctangent of 14/1200 = 0.011667
            ("slip_radians", 0.018331),  # 1.0503 × 0.017453
        ],
    ),
}
MADE = {
    ("5.3", 1): {
        # Lettered a for sag and c for mash. Of twist alone: 12 over the width, so
        # the left front 6 up and the right front 6 down.
        "twist_as_sag": (
            {"first": 5, **dict.fromkeys(AHEAD, 0), "lf_up": 6, "rf_up": -6},
            "a",
        ),
        "diamond_as_mash": ({}, "c"),
    },
    ("5.5", 1): {
        "mirror_used": ({}, "b"),
        "mean_of_sides": ({}, "a"),
        "diagonals_alone": ({}, "d"),
    },
}
