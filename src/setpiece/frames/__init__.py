"""Frames: whose exposure it is, when it truly was, which passage, which is sharpest."""
