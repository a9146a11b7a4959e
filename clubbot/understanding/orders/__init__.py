"""The club's own people tell clubbot what to do."""
