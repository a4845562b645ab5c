"""Sections past yield and the practice rail."""
