"""Tests of the handbook: the club's knowledge files read, filled in and checked."""
