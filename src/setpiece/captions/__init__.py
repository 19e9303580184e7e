"""Captions: one line in, a true caption out, and the check that holds it against the facts."""
