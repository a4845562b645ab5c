"""Every set-up the shop allows, ranked: one ram, or two."""
