"""Acts that add evidence: readings with their verdicts, notes."""
