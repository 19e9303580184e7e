"""Cuttings: what was published, found again."""
