"""What came of a match: figures for the debrief, worked out from plain values."""
