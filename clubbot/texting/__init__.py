"""What a text message is: its alphabets, its parts, phone numbers, and the carriers' key words. Pure."""
