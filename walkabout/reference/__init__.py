"""What the books say: TOML tables with a source beside every value, and typed loaders.

Nothing here knows of a yard, a plant or a date of today.
"""
