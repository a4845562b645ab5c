"""The line of fire of loaded chains, and how far a safety cable lets a part go."""
