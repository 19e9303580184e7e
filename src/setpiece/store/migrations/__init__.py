"""Changes to the workspace's tables: one linear chain, each applied once."""
