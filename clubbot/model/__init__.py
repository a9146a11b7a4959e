"""The names of things: what a message can want, what the club keeps, what clubbot may do. Data only."""
