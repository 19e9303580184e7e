"""The page of the desks."""
