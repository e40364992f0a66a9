"""Dialogs that ask for one thing and return a value."""
