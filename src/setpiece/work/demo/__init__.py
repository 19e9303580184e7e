"""The demo match: an invented cup semi-final, drawn, logged and planted with known truth."""
