"""Case files and reports for electrically dangerous appliances."""

__version__ = "0.4.0"
