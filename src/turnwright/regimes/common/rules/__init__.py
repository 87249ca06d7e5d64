"""Rules that say the same under any code: only their clause and a few words differ."""
