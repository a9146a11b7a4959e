"""The loops: texts in, answers, texts out, and what wakes them."""
