"""Settings, urls, forms, views, templates, static; no arithmetic and no verdicts."""
