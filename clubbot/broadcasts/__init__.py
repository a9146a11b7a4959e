"""Texts to many people: at what pace they go."""
