"""Pressure, area and force; several rams on one supply."""
