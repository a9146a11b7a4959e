"""What anybody may read without a phone: the calendar feed."""
