"""The match: people, sides, the log, its clock, and the fold that answers for any instant."""
