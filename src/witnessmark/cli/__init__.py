"""One file per command; parses, calls, prints."""
