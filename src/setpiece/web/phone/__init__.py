"""The log on the phone."""
