"""Tests of how a text is understood: days, numbers, names, danger, language."""
