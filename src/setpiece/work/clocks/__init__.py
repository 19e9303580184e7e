"""Camera clocks against true time."""
