"""Setpiece: the working desk of a football press photographer."""

__version__ = "0.1.0"
