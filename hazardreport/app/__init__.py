"""The window and the command line: the only room that knows Qt."""
