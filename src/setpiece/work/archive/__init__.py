"""The archive: kept, verified, rebuilt."""
