"""The exercises, one file a lesson."""
