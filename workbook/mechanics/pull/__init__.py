"""One pull: ram, chain and clamp; the hung chain; bridles and rollers."""
