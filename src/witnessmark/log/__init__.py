"""The chained log."""
