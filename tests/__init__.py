"""The tests of walkabout. Run them all with ``python3 -m tests``."""
