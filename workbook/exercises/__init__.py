"""Seeded exercises that know the usual mistakes."""
