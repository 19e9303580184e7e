"""The debrief of a match."""
