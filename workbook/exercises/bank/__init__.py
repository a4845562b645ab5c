"""The exercises, one module a lesson: each is found by itself."""
