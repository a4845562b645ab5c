"""Lesson 15: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("15.1", 1): (
        {"needed": 14, "load": 22, "stiffness": 4},
        [
            ("M30_no_springback", 14.0),
            ("always_ten_per_cent", 15.4),
            ("springback_taken_off", 8.5),  # 14 − 5.5
            ("springback_alone", 5.5),  # 22 ÷ 4
        ],
    ),
    ("15.2", 1): (
        {"start": 20, "left": 7, "back": 4},
        [
            ("M30_no_springback", 17.0),  # 20 − 7 + 4
            ("what_is_left", 7.0),
        ],
    ),
    ("15.3", 1): (
        {"edge": 25, "sheet": 1.2, "strength": 220},
        [
            ("one_edge_only", 6.6),  # 25 × 1.2 × 220 = 6600 N
            ("both_faces_counted", 26.4),  # twice 13.2
        ],
    ),
    ("15.4", 1): (
        {"pull": 24, "between": 100},
        [
            ("M14_bridle_half", 12.0),
            ("M15_whole_angle", 69.105),  # 12 ÷ 0.17365, the sign left out
            ("whole_pull_on_each", 24.0),
            ("slip_mult_div", 7.713),  # 24 × 0.6428 ÷ 2
            ("slip_radians", 12.436),  # cos of 50 radians is 0.9650
        ],
    ),
    ("15.5", 1): (
        {"before": 8, "share": 35},
        [("what_is_left", 65.0)],  # 5.2 of 8
    ),
}
MADE = {
    ("15.6", 1): {
        # a colour, c quick under load, d clamped again, e stands more heat.
        "a_little_heat": ({"shuffle": 2}, "c d"),
    },
    ("15.7", 1): {},
    ("15.8", 1): {
        # Read off the rail's own curve: 22 mm at 19.7 kN, 24.2 mm at 20.2 kN. A wall of
        # 2 mm carries half as much, and is pulled out of shape by 36 kN.
        "M30_no_springback": ({"needed": 22}, "load 19.7 kN"),
        "always_ten_per_cent": ({"needed": 22}, "load 20.2 kN"),
        "does_not_stand": ({"wall": 2}, "load 36 kN"),
    },
}
