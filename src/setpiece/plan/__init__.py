"""The plan of the day: pitch, optics, ball, light, exposure, and what to get."""
