"""Pictures of results, one file a subject."""
