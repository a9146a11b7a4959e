"""clubbot: a disc golf club's text number."""
