"""From one message and what is known to effects. Pure: `turn` is the only reader of messages."""
