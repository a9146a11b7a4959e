"""Texts in by signed webhook, texts out through the gateway."""
