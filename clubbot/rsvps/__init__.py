"""Who is coming: places, parties, the waiting list, sign-in."""
