"""What is kept: put down once, written by one pen, sent in order."""
