"""Text that people write in, values out, and back."""
