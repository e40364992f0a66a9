"""The record: frozen records and edits as pure functions Case -> Case."""
