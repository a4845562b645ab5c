"""A small sketch for each exercise."""
