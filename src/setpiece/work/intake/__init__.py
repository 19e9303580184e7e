"""Taking in: cards, copies, frames."""
