"""Pictures to desks, and what was wrong put right."""
