"""The page before the match."""
