"""One module per subject; each lists its own urls."""
