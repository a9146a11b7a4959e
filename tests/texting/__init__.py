"""What a text message is."""
