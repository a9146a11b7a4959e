"""How the sentence model is taught; run by hand, needs torch."""
