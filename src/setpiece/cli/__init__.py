"""The commands: one face of the jobs, in the terminal."""
