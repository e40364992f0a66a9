"""The seven pages; each joins views, models and the session."""
