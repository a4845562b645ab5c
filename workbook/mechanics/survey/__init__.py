"""Measured points laid over specified ones, and the damage they show."""
