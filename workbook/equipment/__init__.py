"""Chains, ropes and the invented shop's parts, from data files with sources."""
