"""Tests of the people room: who is on duty."""
