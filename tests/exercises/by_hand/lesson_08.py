"""Lesson 08: what each mistake gives, worked out by hand."""

SLOT = {"offset": 50, "fork": 600, "clamp_height": 500, "clamp_distance": 1500}

BY_HAND = {
    ("8.1", 1): (
        {**SLOT, "head_out": 100, "head_up": 900},
        [
            ("M18_slot_shift_only", 50.0),
            ("plan_distance_only", 133.333),  # 50 × 1600 ÷ 600
            ("head_out_forgotten", 225.0),  # 50 × 1500 × 900 ÷ (600 × 500)
        ],
    ),
    ("8.1", 2): (
        {**SLOT, "head_out": 100, "head_up": 860},
        [
            ("M18_slot_shift_only", 50.0),
            ("plan_distance_only", 133.333),  # 50 × 1600 ÷ 600
            ("head_out_forgotten", 215.0),  # 50 × 1500 × 860 ÷ (600 × 500)
        ],
    ),
    ("8.2", 1): (
        {**SLOT, "head_out": 0, "head_up": 900},
        [
            ("M18_slot_shift_only", 1.909),  # arctangent of 50/1500 = 0.03333
            ("M02_sin_cos", 81.469),  # 90 − 8.531
            ("slip_radians", 0.14889),  # 8.531 × 0.017453
        ],
    ),
    ("8.2", 2): (
        {"offset": 50, "shift": 240, "clamp_distance": 1500, "head_out": 100},
        [
            ("M18_slot_shift_only", 1.909),  # arctangent of 50/1500 = 0.03333
            ("M02_sin_cos", 81.469),  # 90 − 8.531
            ("head_out_forgotten", 9.090),  # arctangent of 240/1500 = 0.16
            ("slip_radians", 0.14889),  # 8.531 × 0.017453
        ],
    ),
    ("8.3", 1): (
        {"level_part": 30, "side_angle": 10},
        [
            ("M18_slot_shift_only", 0.0),
            ("M02_sin_cos", 29.544),  # 30 × 0.9848
            ("M07_small_angle_harmless", 0.4558),  # 30 × (1 − 0.98481)
            ("slip_radians", -16.321),  # sin of 10 radians is −0.5440
        ],
    ),
    ("8.4", 1): (
        {"pull": 24, "between": 100},
        [
            ("M14_bridle_half", 12.0),
            ("M15_whole_angle", 69.105),  # 12 ÷ 0.17365, the sign left out
            ("sine_key", 15.665),  # 12 ÷ sin 50° = 12 ÷ 0.7660
            ("slip_mult_div", 7.713),  # 24 × 0.6428 ÷ 2
            ("M15_whole_angle", -69.105),  # cos 100° is −0.17365
            ("second_leg_forgotten", 37.337),  # 24 ÷ 0.6428
            ("slip_radians", 12.436),  # cos of 50 radians is 0.9650
        ],
    ),
    ("8.5", 1): (
        {"pull": 24, "first_angle": 20, "second_angle": 50},
        [
            ("M14_bridle_half", 12.0),
            ("share_by_angle", 17.143),  # 24 × 50/70
            ("slip_swapped", 8.735),  # 24 × sin 20° ÷ sin 70° = 8.2085 ÷ 0.9397
            # Of 50 and 70 radians the sines are −0.2624 and 0.7739.
            ("slip_radians", -8.137),
        ],
    ),
    ("8.6", 1): (
        {"spacing": 600, "between": 50},
        [
            ("tangent_used", 643.35),  # 300 ÷ tan 25° = 300 ÷ 0.46631
            ("half_forgotten", 1419.7),  # 600 ÷ sin 25° = 600 ÷ 0.42262
            ("M15_whole_angle", 391.62),  # 300 ÷ sin 50° = 300 ÷ 0.76604
            ("slip_radians", -2266.7),  # sin of 25 radians is −0.13235
        ],
    ),
}
MADE = {
    ("8.7", 1): {
        "turned_wrong_way": ({}, "fork_offset -50 mm"),  # 8.27° to the right
        # 1500 × tan 4° = 105, so the slot at 100; but 100 × 1500 ÷ (600 × 500) is half
        # of the head's height, 805: 402 ÷ 1500 is the tangent of 15.0°.
        "M18_slot_shift_only": ({"side_angle": 4}, "fork_offset 100 mm"),
        # 1150 long, a quarter as far aside as up: 1116 up, 279 aside, 10.5°.
        "raised_not_lowered": ({}, "fork_offset 50 mm; extension 700 mm"),
        # 600 long: 582 up, 145.5 aside, 5.5°.
        "lowered_not_raised": ({}, "fork_offset 50 mm; extension 150 mm"),
        "past_the_margin": ({"ram_force": 28, "margin": 75}, "fork_offset 50 mm"),
        # A slot 250 aside would lean the ram 1.25 times as far aside as up: 51°.
        "does_not_stand": ({}, "fork_offset 250 mm"),
    },
}
