"""The Touchline page: the report, the opened frame, the one line."""
