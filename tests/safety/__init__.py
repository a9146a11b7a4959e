"""What is said while it matters: cautions, hazards, dangers, and what only sounds like them."""
