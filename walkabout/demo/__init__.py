"""An invented yard with four seasons of entries, to look round in."""
