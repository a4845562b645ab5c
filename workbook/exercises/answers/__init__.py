"""Kinds of answers: each reads what was typed, judges it and writes it."""
