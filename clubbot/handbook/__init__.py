"""From the knowledge files to what the club knows, with what is wrong in them by file and line."""
