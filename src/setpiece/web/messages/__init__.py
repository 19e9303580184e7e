"""What the rooms below the page say, in other languages: one file each, by the English."""
