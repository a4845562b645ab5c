"""Pullwright's engine: the mechanics of angled pulls, without a notebook."""

__version__ = "0.2.0.dev0"
