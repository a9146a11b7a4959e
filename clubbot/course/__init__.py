"""The course: open or closed, light enough or not. Pure."""
