"""The page: one face of the jobs, in the browser."""
