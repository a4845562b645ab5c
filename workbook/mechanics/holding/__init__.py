"""Wrenches, clamps and stands that share them, pulls that hold."""
