"""Textbook mechanics: numpy only, SI only, one subject a file."""
