"""Tests of the turn: one message, what is known, the hour, and what is done."""
