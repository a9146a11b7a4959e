"""Tests of the course room: daylight and closures."""
