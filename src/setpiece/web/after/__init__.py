"""The page after the match."""
