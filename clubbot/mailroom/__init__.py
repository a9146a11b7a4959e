"""The loops: texts in, answers, texts out, and the clockwork that wakes them."""
