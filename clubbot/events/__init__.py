"""Events: which days they fall on, and what is on. Pure."""
