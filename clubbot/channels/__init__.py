"""How texts reach us and leave us. A channel knows nothing of the club."""
