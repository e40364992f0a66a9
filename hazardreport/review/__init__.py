"""Verifies a saved case and says file by file what is whole."""
