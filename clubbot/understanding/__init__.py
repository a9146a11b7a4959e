"""From the words of a text to what it wants. Pure: whatever is learnt from files is handed in."""
