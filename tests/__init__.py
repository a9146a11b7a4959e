"""The tests mirror the folders of clubbot."""
