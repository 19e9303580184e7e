"""Every text of the screens, one file a language. English is complete; others fall back on it."""
