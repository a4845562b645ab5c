"""Lesson 11: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("11.2", 1): (
        {"aside": 900, "along": 2400},
        [
            ("M02_sin_cos", 69.444),  # 90 − 20.556
            ("sine_key", 22.024),  # arcsine of 0.375
            ("slip_radians", 0.35877),  # 20.556 × 0.017453
        ],
    ),
}
MADE = {
    ("11.1", 1): {
        # a chain, b zone, c plan, d cable, e inspect, f slack, g pull, h voice, i look,
        # j clamp: c j a e d, then b and h, f i g.
        "cable_after_pull": ({}, "c j a e b h f i g d"),
        "cable_on_tight_chain": ({}, "c j a e h b f d i g"),
        "look_while_pulling": ({}, "c j a e d b h f g i"),
        "zone_cleared_late": ({}, "c j a e d f i b h g"),
    },
    ("11.3", 1): {
        # a measurer, b trainee, c signaller, d helper, e customer, f valve hand,
        # g visitor, h painter. From the clamps alone: 18.4°, 9.2° and 23.7°. On the
        # first chain alone: not the helper. Within 15°: the measurer at 12.8° off the
        # second chain, 1000 over 4400, and the helper.
        "wedge_at_one_end": ({}, "c d h"),
        "one_chain_forgotten": ({}, "a c g h"),
        "wedge_halved": ({}, "a d"),
    },
    ("11.4", 1): {
        # a over the edge, b to the hook of the same clamp, d with a loop.
        "cable_on_same_part": ({}, "b"),
        "cable_over_edge": ({}, "a"),
        "cable_too_loose": ({}, "d"),
    },
    ("11.5", 1): {},
    ("11.6", 1): {
        # e is tied to the sheet, d runs over a flange, a and b have slack.
        "cable_on_same_part": ({}, "a 4, b 4, c 1, d 3, e 1, f 1"),
        "cable_over_edge": ({}, "a 4, b 4, c 1, d 1, e 2, f 1"),
        "cable_too_loose": ({}, "a 1, b 1, c 1, d 3, e 2, f 1"),
    },
}
