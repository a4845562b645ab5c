"""Lesson 04: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("4.1", 1): (
        {"reading": 352, "distance": 2400, "tilt": 0.5},
        [
            ("tilt_left_in", 352.0),
            ("tilt_added", 372.94),  # 352 + 20.94
            ("slip_radians", -959.1),  # tan of 0.5 radians is 0.54630: 1311.1
        ],
    ),
    ("4.2", 1): (
        {"left": 470, "right": 446},
        [("whole_difference", 24.0), ("average_width", 458.0)],
    ),
    ("4.3", 1): (
        {"tape": 1000, "rise": 280},
        [
            ("M29_tape_is_length", 1000.0),
            ("squares_added", 1038.5),  # √1,078,400
            ("plain_minus", 720.0),
        ],
    ),
    ("4.4", 1): (
        {"length": -12, "width": 9, "height": -8},
        [
            ("M05_plain_sum", 29.0),
            ("largest_only", 12.0),
            ("signed_sum", -11.0),
        ],
    ),
    ("4.6", 1): (
        {
            **{"a": -3.6, "a_limit": 3.2, "b": 2.4, "b_limit": 2.8},
            **{"c": 0.7, "c_limit": 2.2, "d": 4.6, "d_limit": 3.8},
            **{"e": -2.3, "e_limit": 3.5, "f": -1.9, "f_limit": 2.5},
        },
        [
            # A and D are outside.
            ("limit_as_whole_band", 5.0),  # all but C, which is inside 1.1
            ("only_above", 1.0),  # D alone
            ("inside_counted", 4.0),
        ],
    ),
}
MADE = {
    ("4.5", 1): {
        # Heights are a, c and f, widths b and d, lengths e, g and h.
        "views_mixed": ({}, "a 2, b 1, c 2, d 1, e 3, f 2, g 3, h 3"),
        "vertical_planes_swapped": ({}, "a 1, b 3, c 1, d 3, e 2, f 1, g 2, h 2"),
    },
}
