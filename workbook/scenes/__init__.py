"""Set-ups, their file form and code, and the invented shop and vehicle."""
