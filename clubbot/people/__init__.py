"""The club's people: who does what, who is on duty. Pure."""
