"""Drawings of results, described once and rendered on Axes or as SVG."""
