"""Tests of the events room: on which days what takes place."""
