"""The lessons: what each asks, shows and prints."""
