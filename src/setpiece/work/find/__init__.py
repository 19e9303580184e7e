"""Finding pictures of every match."""
