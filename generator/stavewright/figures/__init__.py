"""What the reader sees and hears of a Score."""
