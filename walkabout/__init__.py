"""walkabout: printed tags, quick entries and due work for a backyard orchard."""

__version__ = "0.1.0"
