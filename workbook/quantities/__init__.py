"""Units, typed quantities, and numbers set as text."""
