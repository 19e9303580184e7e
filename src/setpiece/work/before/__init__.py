"""Before the match: plan, wants, the day."""
