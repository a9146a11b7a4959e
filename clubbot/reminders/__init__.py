"""When people are reminded, and when not."""
