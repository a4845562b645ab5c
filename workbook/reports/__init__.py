"""Results as tables to read and as fields for other programs."""
