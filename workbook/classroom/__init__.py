"""The instructor's side: class lists, handouts, keys, marking, reports."""
