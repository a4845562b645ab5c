"""A drawing described as marks, and shown as SVG or on Axes."""
