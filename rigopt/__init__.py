"""Find the cheapest rig of interfaces, expanders and cables that meets a need."""

__version__ = "1.0.0"
